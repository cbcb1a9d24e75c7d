// Package scenarios reads a scenario file, checks it, and makes the problem that package optimize solves.
//
// Start with [Load] (a path, or the name of a built-in example) and [Case.Problem]. [Case.StoreLaw] gives the
// store at any volume; [Relaxations] says in which ways the problem is simpler than the plant.
//
// A scenario is YAML 1.2 in its plain parts: mappings, lists and single values. Unknown and repeated keys, anchors,
// aliases, merges, tags and second documents are refused, and sizes are bounded, so that a file means what it looks
// like. Every quantity carries its unit; a pressure is gauge or absolute, never neither. What is wrong comes back
// all at once, each fault an [*Error] with file, line, what was seen and what is wanted. What was left out is filled
// in and listed ([Case.Assumptions]); what is understood but doubtful is listed too ([Case.Warnings]).
//
// The road: read.go (text to nodes), decode.go (nodes to the structs of file.go, by their tags), build.go and its
// neighbours (structs to the domain's values, a [Case]), problem.go (case to series and numbers). The structs of file.go
// are the only place where a key is named; [Schema] comes from the same tags.
//
// The way back: [Rewrite] changes values in a scenario's text as a person would, byte for byte but for them; [Changes] says what
// differs between two texts.
//
// A gauge pressure becomes absolute by the site's air pressure, from its elevation (US Standard Atmosphere 1976).
// A year of money counts 8760 h. Fuel counts on net heat; a gross price or efficiency is turned.
//
// Of the project's rooms this one alone opens files by name ([Load]); how far a scenario may reach is said by [Beside], for a
// person's own, or [Within], for a stranger's.
// Not here: what a start or a lowest fire does to a plan; [Case.Cycles] hands it on beside the problem.
package scenarios
