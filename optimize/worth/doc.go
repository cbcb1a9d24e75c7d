// Package worth says what a plant earns over its life: the money year by year, and what follows from it.
//
// Start with [Work], which takes [Terms] (life, discount, loan, subsidy, tax) and a [Project] (what is bought, what a
// year saves and costs) and gives a [Case]: paybacks, net present value, internal rate of return, levelised cost of
// heat, cost of CO2 avoided, and a [Ledger] whose every column has its name, unit, values and formula. [Pick]
// chooses a size among many; [VesselPrice] is what a vessel costs by its volume.
//
// # Conventions
//
// Money flows at the end of a year; year 0 is the start, and nothing in it is discounted. Money is nominal, that of
// its day. Prices given are those of the first year: in year t they have risen t-1 times, as in the life-cycle method
// of Duffie and Beckman (their present worth factor; also Kalogirou, Solar Energy Engineering, section 12.2). What comes in is
// positive, what goes out is negative. The view is the owner's: after loan, subsidy and tax.
//
//   - The loan is of what the capital less a subsidy of year 0 comes to, and is paid back in equal sums (annuity).
//   - What is written off is the capital but for land, less the subsidy where it reduces the book value. Writing off goes to
//     nothing; what the plant fetches at the end is set against what is still on the books, and the difference is taxed.
//   - Upkeep and parts replaced are costs of their year. The subsidy itself is not taxed.
//   - A loss for tax is carried forward without interest and without end, or used at once against other income.
//   - What is saved falls by the degradation each year, heat and CO2 with it.
//
// # Sources
//
// Factors: Short, Packey and Holt, NREL/TP-462-5173 (1995); Fuller and Petersen, NIST Handbook 135 (1995). Levelised cost
// of heat: IEA SHC Task 54. Depreciation: IRS Publication 946, Table A-1 and the rule behind it.
//
// Not here: monthly flows, value added tax, leases, several tax rates, an expiry of losses, taxes on subsidies, a loan paid
// back in equal parts of principal.
package worth
