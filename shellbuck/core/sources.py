"""Bibliography: every formula and every material value names one of these keys.

Standing of what was taken from a source: ``read`` (in the publication itself), ``second-hand`` (in a text
that cites it), ``memory`` (recalled, not looked up), ``own`` (derived in this project and checked by a second
derivation), ``practice`` (common practice without a source).
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Source:
    """One publication, or the statement that there is none."""

    key: str
    short: str
    text: str
    standing: str


_ALL = (
    Source(
        "sp8007",
        "NASA SP-8007 Rev 2",
        "Hilburger, M. W. (ed.): Buckling of Thin-Walled Circular Cylinders. NASA/SP-8007-2020/REV 2, 2020.",
        "read",
    ),
    Source(
        "sp8007-fig-4-5",
        "NASA SP-8007 Rev 2, Fig 4-5",
        "The increment curve for pressurised plain cylinders in NASA/SP-8007-2020/REV 2, Fig 4-5, taken from two "
        "independent digitisations of the figure; the lower of the two, reduced by their scatter.",
        "second-hand",
    ),
    Source(
        "isogrid", "NASA CR-124075 Rev A", "Isogrid Design Handbook. NASA CR-124075 Revision A, 1973.", "second-hand"
    ),
    Source(
        "tn-d-5561",
        "NASA TN D-5561",
        "Review of buckling tests of stiffened cylinders. NASA TN D-5561, 1969 (abstract).",
        "read",
    ),
    Source(
        "batdorf",
        "NACA TN 1343",
        "Batdorf, S. B.; Schildcrout, M.; Stein, M.: Critical stress of thin-walled cylinders in axial compression. "
        "NACA TN 1343, 1947.",
        "read",
    ),
    Source(
        "timoshenko",
        "Timoshenko & Gere",
        "Timoshenko, S. P.; Gere, J. M.: Theory of Elastic Stability. McGraw-Hill, 1961 (plates and cylinders).",
        "memory",
    ),
    Source(
        "baruch-singer",
        "Baruch & Singer 1963",
        "Baruch, M.; Singer, J.: Effect of eccentricity of stiffeners on the general instability of stiffened "
        "cylindrical shells under hydrostatic pressure. J. Mech. Eng. Sci. 5(1), 1963, 23-27 (smeared stiffeners).",
        "memory",
    ),
    Source(
        "sanders",
        "Sanders 1963",
        "Sanders, J. L.: Nonlinear theories for thin shells. Quarterly of Applied Mathematics 21, 1963, 21-36.",
        "memory",
    ),
    Source(
        "johnson",
        "Johnson parabola",
        "Johnson-Euler column curve for sections that cripple, as in textbooks of aircraft structures.",
        "memory",
    ),
    Source(
        "karman",
        "von Karman et al. 1932",
        "von Karman, T.; Sechler, E. E.; Donnell, L. H.: The strength of thin plates in compression. Trans. ASME 54, "
        "1932 (effective width of a buckled plate).",
        "memory",
    ),
    Source(
        "winter",
        "Winter 1947",
        "Winter, G.: Strength of thin steel compression flanges. Trans. ASCE 112, 1947, with the later constant 0.22 "
        "of cold-formed steel design (effective width of imperfect plates).",
        "memory",
    ),
    Source(
        "gerard",
        "Gerard 1958",
        "Gerard, G.: Handbook of Structural Stability, Part IV: Failure of plates and composite elements. "
        "NACA TN 3784, 1957 (crippling of formed and multi-corner sections).",
        "second-hand",
    ),
    Source(
        "needham",
        "Needham 1954",
        "Needham, R. A.: The ultimate strength of aluminum-alloy formed structural shapes in compression. J. Aeronaut. "
        "Sci. 21(4), 1954, 217-229 (crippling of a section as the sum of its angles).",
        "memory",
    ),
    Source("bredt", "Bredt 1896", "Bredt, R.: torsion of thin-walled tubes, 1896 (textbook).", "memory"),
    Source(
        "karman",
        "von Karman et al. 1932",
        "von Karman, T.; Sechler, E. E.; Donnell, L. H.: The strength of thin plates in compression. Trans. ASME 54, "
        "1932 (effective width of a buckled plate).",
        "memory",
    ),
    Source(
        "gerard-becker",
        "Gerard & Becker 1957",
        "Gerard, G.; Becker, H.: Handbook of Structural Stability, Part I: Buckling of flat plates. NACA TN 3781, 1957 "
        "(plasticity factors of plates).",
        "memory",
    ),
    Source(
        "ramberg-osgood",
        "Ramberg & Osgood 1943",
        "Ramberg, W.; Osgood, W. R.: Description of stress-strain curves by three parameters. NACA TN 902, 1943 (in "
        "the form with the .2 % yield strength).",
        "memory",
    ),
    Source(
        "engesser",
        "tangent-modulus column",
        "Engesser 1889 and Shanley 1947: a column buckles at the Euler load of its tangent modulus (textbook).",
        "memory",
    ),
    Source(
        "gerard-lakshmikantham",
        "Gerard & Lakshmikantham 1966",
        "Gerard, G.; Lakshmikantham, C.: Optimum thin-wall pressure vessels and shells: minimum mass of isotropic and "
        "stiffened cylinders in axial compression, 1966 (NTRS 19660015694).",
        "second-hand",
    ),
    Source(
        "shanley",
        "Shanley 1949",
        "Shanley, F. R.: Simplified analysis of general instability of stiffened shells in pure bending. "
        "J. Aeronaut. Sci. 16(10), 1949, 590-592.",
        "memory",
    ),
    Source(
        "windenburg",
        "Windenburg & Trilling 1934",
        "Windenburg, D. F.; Trilling, C.: Collapse by instability of thin cylindrical shells under external pressure. "
        "Trans. ASME 56, 1934, 819-825.",
        "memory",
    ),
    Source("mises", "von Mises 1913", "Distortion-energy yield criterion for plane stress (textbook).", "memory"),
    Source(
        "dnv-rp-c202",
        "DNV-RP-C202",
        "Buckling strength of shells, recommended practice for offshore structures: flat-bar ring stiffeners against "
        "local and torsional buckling.",
        "memory",
    ),
    Source(
        "laminate",
        "classical lamination theory",
        "Classical lamination theory of plies in plane stress (textbook).",
        "memory",
    ),
    Source(
        "en1993-1-6",
        "EN 1993-1-6:2007",
        "EN 1993-1-6:2007, Eurocode 3, strength and stability of shell structures (steel), Annex D and 8.5.",
        "memory",
    ),
    Source(
        "en1993-1-6-second",
        "EN 1993-1-6, second generation",
        "EN 1993-1-6, second generation (steel shells): parameters of axial compression, read in texts that cite it.",
        "second-hand",
    ),
    Source(
        "nasa-std-5001",
        "NASA-STD-5001B",
        "Structural Design and Test Factors of Safety for Spaceflight Hardware. NASA-STD-5001B.",
        "second-hand",
    ),
    Source(
        "mmpds",
        "MMPDS-01 / MIL-HDBK-5J",
        "Metallic Materials Properties Development and Standardization, MMPDS-01, 2003; MIL-HDBK-5J, 2003.",
        "memory",
    ),
    Source(
        "nist-cryo",
        "NIST cryogenic fits",
        "Marquardt, E. D.; Le, J. P.; Radebaugh, R.: Cryogenic material properties database. "
        "11th International Cryocooler Conference, 2000 (fits evaluated at the listed temperatures).",
        "read",
    ),
    Source("vendor", "maker's data sheet", "Data sheet of a metal maker (unnamed in our notes).", "read"),
    Source(
        "second-hand",
        "second-hand value",
        "Value read in texts that cite an agency or a maker; the first source was not seen.",
        "second-hand",
    ),
    Source("memory", "from memory", "Recalled engineering value; confirm before use.", "memory"),
    Source("own", "own derivation", "Derived and checked in this project (see tests/derivations).", "own"),
    Source("own-rule", "own rule", "A choice of this project where the published criteria are silent.", "own"),
    Source("practice", "common practice", "Common engineering practice without a source of its own.", "practice"),
)

SOURCES: dict[str, Source] = {s.key: s for s in _ALL}


def source(key: str) -> Source:
    """Look up a source by its key (KeyError if the bibliography has no such key)."""
    return SOURCES[key]
