package demand

const (
	fibreTable  = "Morton and Hearle, Physical Properties of Textile Fibres, table 6.1, dry fibre"
	foodTable   = "Choi and Okos (1986) with the composition of ASHRAE Refrigeration, Thermal Properties of Foods, table 3"
	metalTable  = "engineeringtoolbox.com, specific heats of metals"
	saturatedIF = "IAPWS R7-97(2012), boiling liquid"
)

// materials is the built-in list; generic stuffs only. A density stands only for liquids.
var materials = []Material{
	{Name: "water", Source: saturatedIF, water: true},
	// Liquids of the food trades.
	{Name: "milk", Source: "Choi and Okos (1986), composition of whole milk from memory; 1030 kg/m3 after the dairy science book, University of Guelph",
		food: &food{Water: 0.8769, Protein: 0.0328, Fat: 0.0366, Carbohydrate: 0.0465, Ash: 0.0072}, kgM3: 1030},
	{Name: "skim milk", Source: "Choi and Okos (1986), composition and density from memory",
		food: &food{Water: 0.9080, Protein: 0.0341, Fat: 0.0018, Carbohydrate: 0.0485, Ash: 0.0076}, kgM3: 1035},
	{Name: "wort", Source: "Choi and Okos (1986), 12 % extract taken as carbohydrate; density by 259/(259 - degrees Plato)",
		food: &food{Water: 0.88, Carbohydrate: 0.12}, kgM3: 1047},
	{Name: "vegetable oil", Source: "Geankoplis, Transport Processes, table A.4-1, olive oil 2.01 kJ/kgK; 920 kg/m3 from memory", kJKgK: 2.01, kgM3: 920},
	// Cleaning liquids.
	{Name: "caustic", Source: "sodium hydroxide in water, 2 % by mass: Perry, specific heats of aqueous solutions, 0.97 cal/gK at 2.2 %; 1020 kg/m3; both from memory",
		kJKgK: 4.06, kgM3: 1020},
	// Textiles.
	{Name: "textile", Source: fibreTable + ": 1.03 to 1.59, about the middle", kJKgK: 1.3},
	{Name: "cotton", Source: fibreTable + ": 1.22 to 1.35, the middle", kJKgK: 1.29},
	{Name: "viscose", Source: fibreTable + ": rayon 1.35 to 1.59, the middle", kJKgK: 1.47},
	{Name: "wool", Source: fibreTable, kJKgK: 1.36},
	{Name: "silk", Source: fibreTable, kJKgK: 1.38},
	{Name: "nylon", Source: fibreTable + ": nylon 6 1.43, nylon 6.6 1.46", kJKgK: 1.45},
	{Name: "polyester", Source: fibreTable, kJKgK: 1.03},
	// Vegetables. ASHRAE counts fibre within carbohydrate; here it is taken out of it.
	{Name: "carrots", Source: foodTable, food: &food{Water: 0.8779, Protein: 0.0103, Fat: 0.0019, Carbohydrate: 0.0714, Fibre: 0.03, Ash: 0.0087}},
	{Name: "green beans", Source: foodTable, food: &food{Water: 0.9027, Protein: 0.0182, Fat: 0.0012, Carbohydrate: 0.0374, Fibre: 0.034, Ash: 0.0066}},
	{Name: "beets", Source: foodTable, food: &food{Water: 0.8758, Protein: 0.0161, Fat: 0.0017, Carbohydrate: 0.0676, Fibre: 0.028, Ash: 0.0108}},
	{Name: "sweet corn", Source: foodTable, food: &food{Water: 0.7596, Protein: 0.0322, Fat: 0.0118, Carbohydrate: 0.1632, Fibre: 0.027, Ash: 0.0062}},
	// What machines are made of.
	{Name: "steel", Source: metalTable + ", carbon steel", kJKgK: 0.49},
	{Name: "stainless steel", Source: "makers' data for 304 and 316, 0 to 100 degC", kJKgK: 0.50},
	{Name: "cast iron", Source: metalTable, kJKgK: 0.46},
	{Name: "copper", Source: metalTable, kJKgK: 0.39},
	{Name: "aluminium", Source: "Mechanical Engineer's Data Handbook, 3.4.4", kJKgK: 0.897},
	{Name: "glass", Source: "Mechanical Engineer's Data Handbook, 3.4.4, Pyrex", kJKgK: 0.753},
}
