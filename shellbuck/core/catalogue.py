"""What every message means: code -> explanation, for ``shellbuck explain CODE``."""

from __future__ import annotations

EDGE_SETS: dict[str, str] = {
    "SS1": "Round only, free to slide along the edge: a skin on a ring without being fastened to it. "
    "Weak: plain walls lose about half of the classical load.",
    "SS2": "As SS1; the end stays plane against a stiff neighbour while it may slide along the edge. Equally weak.",
    "SS3": "The classical simple support: a light end ring or bulkhead that is stiff in its own plane, soft along the "
    "axis and soft in twist. The knockdowns belong to this load; it is the default.",
    "SS4": "As SS3, and the end stays plane: a hinge on a neighbour that is stiff along the axis.",
    "C1": "The slope is fixed, the skin may slide and the end may warp: an edge in a slot. Rare in practice.",
    "C2": "As C1, and the end stays plane against a stiff neighbour. Rare in practice.",
    "C3": "A stiff ring that neither twists nor deforms in its plane, on a neighbour that is soft along the axis.",
    "C4": "Fully clamped: an end cast or bolted into a heavy test fixture, or a weld to a massive ring. Most joints "
    "lie between SS3 and C4; what clamping gains is shown, and not credited.",
    "FREE": "A cut end without ring or neighbour. The other end must support the barrel, so it is given in a case "
    "(edges_far), not with --edges.",
}
"""Edge set -> the practice that it represents; what it fixes is in the model."""

MESSAGES: dict[str, str] = {
    # reading a file
    "file-unreadable": "There is no readable file at the path.",
    "file-too-large": "Case files are short; one above a million bytes is not a case file. Tables have limits too.",
    "file-kind": "Cases, sizings and studies are different files for different commands: run, check and most others "
    "take a case, size and patterns a sizing or a case, study a study.",
    "file-suffix": "The suffix of a file matches its content, so that other programs open it correctly.",
    "file-encoding": "Case files are UTF-8 text.",
    "file-exists": "shellbuck never overwrites a file without --force.",
    "file-foreign": "A file that shellbuck did not write for this purpose is not overwritten without --force.",
    "page-reviewed": "A page with a reviewer's saved remarks or verdict is never overwritten without --force: "
    "they exist nowhere else.",
    "output-lost": "The disk is full, or the reader of the output is gone. The margins are then unknown.",
    "page-foreign": "Two runs are compared by their report pages; a file that is cut off or made by something else is "
    "refused.",
    "remarks-damaged": "Remarks are read back from the copy of a page, or the JSON, that the review page saved; a file "
    "that is cut off or made by something else is refused whole.",
    "remarks-without-page": "Remarks stand beside the new numbers on the page; without a page they cannot be shown.",
    "file-unwritable": "The place to write to does not exist or may not be written.",
    "toml-syntax": "The file is not valid TOML. Strings need quotes, sections need [brackets], lists of sections "
    "[[double brackets]].",
    "key-renamed": "The key of an earlier version has a new name, which the message gives; its meaning is the same.",
    "key-unknown": "The key does not belong here, mostly a spelling error. Unknown keys are refused because a "
    "mistyped key would silently leave a default in force.",
    "key-missing": "The key has no default: only the user can know its value.",
    "value-kind": "The value has the wrong kind, e.g. text where a whole number is required.",
    "value-choice": "The value is not one of the listed words.",
    "value-range": "The value lies outside the range that shellbuck accepts. The limits are far from "
    "practice: a value beyond them is an error of unit or decimal point.",
    "array-shape": "Many designs at once are arrays of one length, a value for each design.",
    "value-missing": "A value is needed here.",
    "value-foreign": "The key belongs to another kind of section.",
    "more-problems": "Only the first problems are printed; correct them and run again.",
    "unit-missing": "Quantities are strings with a unit. A bare number is refused, because it is not known "
    "whether 2.3 means millimetres or inches.",
    "unit-unknown": "The unit is not one of the accepted units. Letter case matters: MPa, not Mpa.",
    "unit-dimension": "The unit is known but measures something else, e.g. kg where a force is required.",
    "unit-number": "The text does not start with a number. Write a decimal point and no thousands separator.",
    "unit-kind": 'A quantity is a short string such as "2.3 mm".',
    "unit-absolute": "Pressure is gauge across the wall at the station: inside minus outside.",
    # the model
    "compression-yield-missing": "Stability and compression are assessed with the compressive yield strength. "
    'Cold-worked sheet may have .6 of its tension yield, so nothing is assumed: give it, or choose "as tension".',
    "hardening-exponent-assumed": "Above the elastic range the shape of the stress-strain curve counts. Where no "
    "hardening exponent is given, a round curve (n = 5) is assumed and no stress above yield is credited. Up to .8 of "
    "yield no larger exponent gives less; between there and yield some give up to 7 % less.",
    "hardening-source-missing": "A library metal has no sourced hardening exponent: one that a case gives beside the "
    "name is printed with its source.",
    "compression-yield-as-tension": "The compressive yield strength is taken as the tension yield: by request, or "
    "because the library has no source for it. The yield rows and every limit at yield depend on it.",
    "skin-thickness-pair": "Nominal and minimum skin thickness go together: the minimum decides stability and "
    "strength, the nominal decides mass.",
    "skin-thickness-order": "The minimum cannot be larger than the nominal.",
    "skin-thickness-missing": "Every wall but one of given stiffness has a skin.",
    "edges-pair": "The key edges is the edge set at x = 0, edges_far at x = L; alone, edges applies to both ends.",
    "load-height-far": "The height of the axial load is measured from the skin middle, outward positive; a load path "
    "farther away than a fifth of the radius is an error of units.",
    "engine-range": "Each engine covers certain edges, theories, states before buckling and growing loads; what it "
    "does not cover is refused, and another engine may cover it.",
    "edges-free": "A barrel with two free ends has no support; with one free end the other must fix the axial "
    "displacement or the slope, or the barrel rotates as a rigid body.",
    "radius-reference": "Inner or outer radius can be turned into the middle radius only with a skin thickness.",
    "radius-to-thickness-low": "Below R/t = 20 (own limit) a wall is not a thin shell, and no factor covers it.",
    "material-missing": "Strength and stiffness need a metal.",
    "material-unknown": "The library has few metals; give your own with [material] and its source.",
    "material-order": "Points of a material rise in temperature; values between them are linear.",
    "modulus-implausible": "The modulus is far from that of the family named, mostly MPa and GPa exchanged.",
    "strength-order": "Ultimate strength is never below yield.",
    "temperature-outside-data": "Properties are never extrapolated. Colder is usually stronger, so the "
    "coldest values are the conservative choice, but clamp_below_range must be set.",
    "factor-set-unknown": "Named sets are listed by shellbuck explain factors; own factors need a source.",
    "load-case-missing": "A case needs at least one [[load_cases]] table.",
    "allowables-wall": "Proof and burst factors and a knock-down of allowables act on strengths of a metal; walls of "
    "given stiffness and of plies have none, so that they would change nothing.",
    "buckling-factor-low": "Buckling is judged at the ultimate factor or more; a set may have a lower one, and then "
    "every page says so.",
    "station-head": "Head pressure is p = p_ullage + rho a h: pressure above the liquid, density, axial acceleration "
    "and level go together.",
    "station-tank": "Every event gives the pressures of every tank that a barrel names: a pressure that is not said is "
    "never taken as none.",
    "station-outside": "Section forces are linear between the lines of their table and never extrapolated.",
    "station-order": "A table of stations rises from line to line; a jump is two stations a little apart.",
    "station-overlap": "Barrels of a stack follow one another; each reaches from its station as far as its length.",
    "factor-set-name": "Sets of factors of a case file, [factor_sets.NAME], stand beside those of the program; a name "
    "means one set.",
    "table-place": "A table of load cases or stations stands beside the file that names it, or in a folder below: a "
    "case that is handed on then has all of its inputs.",
    "table-kind": "Tables are read from CSV (comma, semicolon or tab; UTF-8) and XLSX (the first sheet).",
    "table-empty": "A table has a line of headings, each a key with its unit, and a line for every load case or "
    "station.",
    "table-heading": 'A heading is a key of the table with its unit in brackets, "axial_force [kN]"; each stands once.',
    "table-cells": "Every line has a cell for every heading, and every cell a value that can be read.",
    "earlier-result": "A run is compared with the JSON that an earlier run of this schema wrote: --json FILE.",
    "library-missing": "A file of this kind is read or written by a library that is not installed.",
    "load-case-name": "Names tell load cases apart and must differ.",
    "pressure-order": "The maximum pressure is at least the minimum.",
    "pressure-maximum-missing": "Strength is judged at maximum pressure; it cannot be guessed from the minimum.",
    "thrust-unstated": "On closed ends the pressure pulls the wall with pi R^2 p. Whether the axial force already "
    "contains that pull changes the answer, and both conventions are used: the case must state it. It is credited "
    "once.",
    "thrust-open-ends": "Open ends pass no pressure thrust, so the axial force cannot contain one.",
    "thrust-pressure-missing": "Minimum and maximum pressure differ: the thrust inside the axial force must be "
    "taken out at the pressure at which it was put in.",
    "thrust-pressure-outside": "The thrust inside the axial force is that of a pressure between the minimum and the "
    "maximum of the load case. Another one credits a force that is not there: a wrong sign can turn -0.14 into +0.36.",
    "line-load-angles": "A table of line loads goes once around in rising angles, lines close enough for its peak.",
    "line-load-around": "No standard has a factor for a line load that varies around. It is judged as its peak all "
    "around and, for strength, as its least all around; its axial and bending parts (n = 0, 1) and the rest are shown.",
    "load-case-idle": "A load case of a sizing without force, moment and pressure would leave every result unchecked.",
    "thrust-pressure-idle": "A thrust pressure means something only when the axial force contains the thrust.",
    "give-exactly-one": "Several keys define the same quantity; exactly one may be given.",
    "stiffeners-missing": "A stiffened wall has stringers, rings, or both.",
    "ribs-overlap": "The ribs are so wide that no skin is left between them.",
    "corner-radius-too-large": "The fillets of a pocket fit into the circle inside it, or there is no pocket.",
    "ribs-too-deep": "Ribs deeper than a fifth of the radius are outside smeared theory.",
    "grid-too-coarse": "The triangles are too large for the barrel: smeared stiffness would be meaningless.",
    "section-implausible": "No section has such properties: a blade's torsion constant is at most depth times "
    "thickness cubed over 3, a second moment about the section's own centroid at most its area times (R/5)^2.",
    "section-shape": "The dimensions make no section: plates that overlap, no web left, or rivets without a foot.",
    "section-doubtful": "The radius of gyration of a given section seldom exceeds the distance of its centroid from "
    "the skin, and an open section twists less than a round bar of its area, J = A^2/(2 pi): a second moment about the "
    "skin counts the eccentricity twice and turns every load up.",
    "cell-sway": "A hat without bulkheads loses its shape where it twists to and fro in short waves, and with it the "
    "torsion of its closed cell. It is reduced for half-waves of the bay between rings, or of the barrel.",
    "spacing-too-wide": "Too few stiffeners to be smeared, or rings farther apart than half the length.",
    "own-knockdown-pair": "The panel needs both of its factors.",
    "checked-elsewhere": "A failure mode that shellbuck cannot check on a wall (given stiffness: local modes, "
    "strength; given sections: crippling, rolling) leaves the run incomplete until [[checked_elsewhere]] names the "
    "mode and the report that shows the check.",
    "stiffness-shape": "A block of stiffness is a table with a unit and three rows of three numbers.",
    "stiffness-symmetry": "A, B and D are symmetric by reciprocity.",
    "stiffness-indefinite": "Some strain state would store no or negative energy: signs or units are wrong.",
    "shear-coupling": "The simply supported closed form is exact only when shear does not couple with stretching or "
    "bending (16 and 26 terms zero).",
    # the engines
    "search-too-large": "To prove the lowest load the closed form searches a half circle of wave numbers; this wall "
    "would need too many.",
    "search-failed": "No positive load was found.",
    "search-rim": "The lowest load lies on the rim of the searched range, so a lower one may lie outside.",
    "factor-failed": "A factorisation is used only when every pivot stayed on the diagonal and its residual is small: "
    "only then is its count of load factors correct.",
    "shift-failed": "Every shift tried had load factors below it.",
    "not-definite": "Without axial load the wall must be stable. It is not where a fixed load, such as pressure, "
    "buckles it by itself, or where the supports leave a motion.",
    "not-converged": "The iteration for the lowest load factors did not converge.",
    "no-positive-factor": "The load causes no compression or shear that could buckle the wall.",
    "phases-search": "The search for the lowest load of a repeating cell over both phases did not settle: no load.",
    "count-mismatch": "The factorisation counts more load factors than were found. The result is withheld.",
    "live-pressure-theory": "The terms of a live pressure are of the order that Donnell's theory drops.",
    "path-unresolved": "Close to its end the path bends the wall so much that trial functions may miss a bifurcation. "
    "Where richer ones find one that the others did not, no result is given.",
    "theory-unknown": "There are two shell theories here; a spelling error must not select the other one.",
    "mode-number": "A mode of a closed cylinder has whole numbers of axial half-waves (1 or more) and waves around.",
    "array-empty": "Arrays without entries have no mode and no design, so there is no lowest load.",
    "rib-beyond-axis": "A rib or ring cannot lie on the far side of the barrel's axis: mostly an error of units.",
    "edge-set-unknown": "Edge sets are named by what they fix; the page `shellbuck explain edge-sets` lists them.",
    "torsion-range": "The standard gives one equation for the torsion of stiffened walls, and a range for it (SP-8007 "
    "Rev 2, Eqs 69 and 70). It overstates walls that are soft along the axis or in twist, in its range too; the lower "
    "of it and the factor times the computed load counts.",
    "shear-force-rule": "The standard gives no capacity for a transverse shear force. The project takes the torsion of "
    "its greatest shear flow, which acts over a small part of the circumference only: on the safe side.",
    "closed-forms-only": "Torque, shear force and external pressure are judged by closed forms. Ritz spectra, edge "
    "effects and meshes of a run are those of axial compression.",
    "unstable-under-pressure": "A fixed external pressure that buckles the barrel without any axial load leaves no "
    "axial load to find. Below that pressure a negative pressure is fixed like any other.",
    "prebuckling-too-large": "The pressure bends the wall so much before any axial load acts that the theory of "
    "moderate rotations and small strains is not valid.",
    "live-pressure-edges": "A pressure that follows the wall does work at an end that is free to move.",
    "resolution-absurd": "The barrel is so long compared with its boundary layers that thousands of pieces would be "
    "needed.",
    "edges-sprung-and-held": "A spring on a motion that is fixed has no effect; one of the two is an error.",
    "ring-outside": "A ring is at a station between 0 and the barrel's length.",
    "no-compression": "A buckling load needs a load that compresses or shears the wall somewhere.",
    # meshes
    "mesh-shape": "The geometry, the sector or the given arrays do not give a mesh of whole bays.",
    "mesh-too-coarse": "A mesh needs a least number of elements in a half-wave, a pocket and a web's depth; below it "
    "the load is plausibly wrong.",
    "mesh-too-large": "The mesh would need more unknowns than can be factorised here; a sector or half may do.",
    "load-case-unknown": "The case has no load case of this name.",
    "extra-missing": "A part of the program needs a library that is not installed; everything else works without it.",
    "print-failed": "The PDF renderer failed; the page is not affected and a browser prints it.",
    "mode-unknown": "Modes are numbered as on the page of the same run, with or without --mesh.",
    "no-prestress": "Without edge bending and without ribs on a mesh the forces before buckling are the same "
    "everywhere: the line load along the axis and p R around.",
    "no-display": "A window needs a screen; pictures and pages do not.",
    "picture-failed": "The process that draws crashed, failed or took too long; no result is lost.",
    "mesh-file": "The file is not a mesh written by shellbuck, or it is damaged.",
    "fe-balance": "The forces of the linear prebuckling state do not balance its reactions to 0.1 %.",
    # the validity list
    "radius-to-thickness": "Factors are valid in the range of the tests behind them: R/t 80 to about 1500 on plain "
    "walls. Above 1500 an unstiffened wall gets no automatic factor.",
    "length-to-radius": "Tests cover L/R from 0.5 to 5. Shorter barrels have no test at all; longer ones are assessed "
    "by the lower of the standard's load and the factor times the Sanders load.",
    "stiffening": "The constant factors 0.65 (axial) and 0.75 (bending) belong to closely spaced, moderately large "
    "stiffeners. The standard gives no threshold; shellbuck calls a wall closely stiffened from t_e = 3 t, an "
    "orthotropic sheet up to 1.5 t, and takes the lower factor between.",
    "no-automatic-factor": "The rule for stiffened walls compares the wall with its skin; without a skin thickness "
    "there is no automatic factor.",
    "low-wave-number": "Donnell's theory drops terms that matter when the barrel buckles in few waves.",
    "pressure-gain": "Internal pressure stiffens a stiffened wall against buckling. The standard's increment is for "
    "plain walls only, so by default only the axial relief p R/2 is credited.",
    "elastic-limit": "No metal is known for a wall of given stiffness, so that plasticity and yield are not checked.",
    "plasticity": "Beyond the elastic range the stress-strain curve reduces a buckling load: the knockdown enters the "
    "elastic load first, then the plasticity factor at the stress of the reduced load (SP-8007 Rev 2, Eqs 8, 11, 12). "
    "In a stiffened wall the most stressed element counts (own rule).",
    "yield-cut-off": "Local loads, column loads, and every load of a metal whose hardening exponent is assumed end at "
    "compressive yield.",
    "nominal-thickness": "Stability uses the minimum skin thickness unless the case sets the nominal.",
    "departure": "The case departs from the default rules and gives a reason, which is printed on every page.",
    "typical-properties": "Library values are typical; a design needs allowables with their basis.",
    "ring-slenderness": "The smeared wall counts rings with their whole inertia. A blade, or a flange with a free "
    "edge, slenderer than a flat bar may be, 0.4 sqrt(E/F_cy), may buckle sideways before it supports the skin: it is "
    "warned, and beyond twice that refused unless [policy.slender_rings] gives a reason. Ring ribs of an orthogrid are "
    "supported by the crossing ribs and only warned.",
    "pattern-fit": "Stringers and grids close around the circumference only in whole numbers.",
    "weld-land-thickness": "A weld land is at least as thick as the skin beside it, and its least thickness at most "
    "the nominal one.",
    "weld-land-width": "Weld lands are narrow strips: together at most a quarter of the circumference.",
    "weld-allowable-pair": "Welded allowables are given together with their source, or not at all.",
    "weld-allowable-missing": "The strength of a weld needs welded allowables with their source; without them it is "
    "refused, because a weld may have half of the strength of its plate.",
    "weld-bending-missing": "A step or an angle at a weld bends it under pressure. Without offset and peaking the row "
    "of the weld counts its membrane stress only.",
    "weld-land-compressed": "An angle at a joint is straightened by hoop tension. Under hoop compression its bending "
    "grows and is not bounded here.",
    "weld-land-loss": "Axial weld lands attract load, bend inwards and may buckle first; published is a loss of "
    "buckling load of 25 % or more. The margins count it only where [policy.weld_land_loss] says so with a reason.",
    "weld-lands-missing": "A loss by weld lands belongs to a barrel that has them.",
    "edge-stress-unavailable": "The state before buckling beside the held edges could not be worked out, so that the "
    "stress there is unknown.",
    "edge-strength-wall": "The stress beside held edges is that of skin and ribs; a wall of given stiffness has none.",
    "edge-strength-arrays": "The stress beside held edges is worked out for one design at a time.",
    "thermal-wall": "Thermal stress of a gradient or of rings belongs to a wall with dimensions, with rings for "
    "theirs, and to a run: a sizing does not count it.",
    "thermal-compression": "Rings that are colder than the skin compress it around beside them. Strength counts it, "
    "buckling does not.",
    "ply-strengths": "The strengths of a ply are five: along and across in tension and compression, and in shear.",
    "ply-poisson": "A ply whose Poisson's ratio is too large for its moduli would give energy back.",
    "laminate-skin": "The thickness of a laminate is that of its plies; a skin thickness beside it would be ignored.",
    "laminate-unbalanced": "In a balanced laminate every inclined ply has its mirror image, so that axial load does "
    "not twist the barrel.",
    "laminate-load": "A laminate is compared in axial load, bending and internal pressure, with ply values that have "
    "no temperature of their own; anything else is refused.",
    "comparing-only": "Such a wall is here to compare barrels at an early stage, not to certify one.",
    "ring-adequacy": "Rings are adequate where the panels between them fail before the barrel as a whole. The "
    "comparison changes no margin; a single ring that makes two equal bays cannot be judged by it.",
    "ring-stiffness": "Shanley's empirical stiffness of rings, with the ring's own section unless ring_skin_width says "
    "how much skin acts with it. It changes no margin.",
    "ring-skin-width": "Shanley's screen may count skin with the ring, at most a bay of it.",
    "ring-area": "Below A_r/(b_r t) = 0.3 tests agree less well with smeared theory.",
    "pressure-minimum-missing": "Without a minimum pressure stability is assessed at zero pressure.",
    "clamped-below-range": "The temperature lies below the range of the data; the coldest values are used, as "
    "clamp_below_range asks.",
    "axial-tension": "A tension relieves bending. Stabilising loads carry no factor and are fixed.",
    "moment-amplified": "The axial force on the deflection of a long barrel adds to the moment: beyond L/R 10 the "
    "moment is multiplied by 1/cos((pi/2) sqrt(P/P_E)) at the factored axial force in every row that uses it.",
    "ovalisation": "A very long tube flattens in bending and collapses at the moment of SP-8007 Eq 16. The row of "
    "general instability does not include it; the check is reported beyond L/R 10.",
    "thermal-mismatch": "Two metals that are cooled or heated together strain each other; temperature selects "
    "properties only.",
    "mode-interaction": "Two modes close together can act together at a lower load than either.",
    "local-below-general": "A part of the wall buckles before the wall as a whole.",
    "edge-bending": "An axial load that enters off the line on which a wall with ribs on one side stays straight bends "
    "the edges, and the hoop compression of that bending can buckle the barrel far below its classical load. The lower "
    "of the nonlinear prebuckled load (factor 1) and factor times classical is official. State where the load enters "
    "(load_height) and what the supports fix (edges).",
    "post-buckled-skin": "By choice ([policy.post_buckled_skin], with a reason) the skin between stringers may buckle "
    "below the ultimate line load. The stringers then carry what it sheds (effective width at their stress), and "
    "general instability, panel and column rest on what is left of its stiffness at the factored load. Diagonal "
    "tension is not covered, nor walls whose stringers' crippling is not judged, triangular pockets, fields shorter "
    "than wide, barrels beyond L/R 10, thermal stress, weld lands and stress near held edges.",
    "post-buckled-skin-flow": "Skin that buckles under a shear flow or external pressure works in diagonal tension, "
    "which is not covered: the row is refused and the others are withheld.",
    "edge-effect": "Effect of the given edges, and of the bending near them, on the perfect-shell load. The empirical "
    "knockdown belongs to the simply supported classical load; a benefit of clamped edges is not credited.",
    "pressure-beyond-yield": "The hoop stress of the minimum pressure alone is beyond yield; elastic loads are "
    "meaningless there.",
    "mesh-check": "Comparison of shell mesh, closed form and Ritz at one prestress. It changes no margin.",
    "cells-per-wave": "Smeared theory needs several stiffener spacings per wave.",
    "net-tension": "Pressure relief exceeds the factored compression: the wall is not compressed.",
    "signs-differ": "The official total margin and the net one differ in sign: the verdict depends on "
    "the credit for pressure. For plain walls that is the standard's empirical increment; for other walls it is the "
    "axial relief p R/2, which the total margin adds to the capacity of each load and the net margin takes off their "
    "sum. Margins within 0.005 of zero are taken for zero.",
    "small-margin": "A margin this near to zero is inside the scatter of the inputs.",
    # studies
    "study-key-unknown": "A study varies an input by its dotted key in the case file, barrel.skin_thickness for "
    "example; load_cases.*.axial_force means every load case.",
    "study-key-absent": "A study can change what the base case has; it cannot supply the other keys of a "
    "missing table.",
    "study-factor": "With factor = true the values multiply what the base case gives, so it must give a number.",
    "study-range": "The range, list or count of a varied input gives no points, or contradicts itself.",
    "study-table": "A list or table of points needs a value of every input in every line.",
    "study-add": "The table [add] gives the base case what it lacks, an own knockdown for example; it changes no key "
    "of the case.",
    "study-map-none": "The wall has no such dimension to draw a map over.",
    "study-no-arrays": "Arrays give margins and mass of walls with dimensions; other columns and a varied metal need "
    "each point assessed by itself.",
    "study-arrays-differ": "Every part of a study by arrays is compared with one full assessment. They must agree to "
    "rounding; a difference is an internal error.",
    "study-twice": "Two entries would set the same input, and the later would silently replace the earlier.",
    "study-output-unknown": "A column is a short name or a dotted path into the result of the base case.",
    "study-folder-edited": "A point is opened out of the files that its folder keeps. Where they are no longer those "
    "of the table, the point would have other numbers than its row.",
    "study-folder-link": "A folder of a study contains files and folders only. A symbolic link in it could lead the "
    "program to write somewhere else, so it is never followed.",
    "study-folder-busy": "Two processes in one folder would do the same work twice.",
    "study-folder-other": "A study is kept in a folder of its own, so that nothing else is overwritten.",
    "study-folder-version": "Chunks of different versions are not mixed in one table: it could not be reproduced.",
    "study-folder-differs": "A study is resumed only with the inputs it was begun with.",
    "study-chunk-gone": "A finished chunk was changed or lost while the table was put together.",
    "workers-lost": "The worker processes ended three times without a result.",
    "study-worker-version": "Every worker must run the same version, or the table could not be reproduced.",
    "study-dask-missing": "Work on a scheduler needs an extra library; without it the study runs on this machine.",
    "study-scheduler": "No Dask scheduler answers at the address.",
    "study-parquet-missing": "Parquet needs an extra library; CSV needs none.",
    "study-nothing-feasible": "The table is complete and every row says why it has no margin: no point in the ranges "
    "can be built or assessed.",
    # sizing
    "range-empty": "Two limits of a sizing leave no value between them.",
    "pattern-unknown": "The patterns that can be sized are listed by shellbuck patterns --list.",
    "material-twice": "Metals of a sizing differ by their names.",
    # the program
    "internal-error": "An unexpected exception inside shellbuck. Please report the command and the case file.",
    "interrupted": "The run was interrupted; no file was written after the last finished one.",
    "command-renamed": "Commands of an earlier version were merged; the message gives the command line that replaces "
    "this one, with every former option.",
    "command-line": "The command line could not be understood.",
    "unknown-code": "There is no message or formula of this name.",
}
