//! Where the values of the materials come from.

use super::known::{Status, ValueSource};

const fn seen(text: &'static str) -> ValueSource {
    ValueSource { status: Status::Seen, text }
}

const fn recalled(text: &'static str) -> ValueSource {
    ValueSource { status: Status::FromMemory, text }
}

pub(super) const HANDBOOK: ValueSource = recalled("at room temperature, as handbooks give it");
pub(super) const WOOD_PIECE: ValueSource = recalled(
    "at 12 % moisture; single boards differ (the Wood Handbook, Table 5-3, has the means of the species; not checked)",
);
pub(super) const PRINTED: ValueSource = recalled("of a solid print; less with sparse infill");
pub(super) const FILL: ValueSource = recalled("solid density times a packing of 0.6");

pub(super) const EXPANSION_20_C: ValueSource = seen("encyclopedia table of linear expansion at 20 degC");
pub(super) const EXPANSION_TABLES: ValueSource =
    seen("two public engineering tables of linear expansion (tigerquesttech, engineeringtoolbox), their range");
pub(super) const EXPANSION_RECALLED: ValueSource = recalled("linear expansion at room temperature");
pub(super) const SILICA: ValueSource = seen("refractiveindex.info database, quoting the Crystran handbook, 300 K");
pub(super) const UNIDIRECTIONAL: ValueSource =
    recalled("unidirectional rod along its fibres; depends on the lay-up: measure yours");
pub(super) const PRINTED_PLASTIC: ValueSource =
    recalled("of the solid plastic; prints differ along and across the bead");
pub(super) const PLA_EXPANSION: ValueSource = recalled("one filament's data sheet gives 41 ppm/K");
pub(super) const PRINTED_NYLON: ValueSource =
    seen("Faust et al., Polymers 2021, 13, 3637 (abstract): 114 to 175 ppm/K printed without fibres");
pub(super) const SWELLING_PLASTIC: ValueSource =
    recalled("water taken up at saturation times the swelling per share of water; kinds and prints differ");
pub(super) const ELASTICITY: ValueSource = recalled("change of Young's modulus near room temperature");

pub(super) const WOOD_ALONG: ValueSource = recalled(
    "3.1 to 4.5 ppm/K for all species (Wood Handbook FPL-GTR-190 (2010), chapter 4; only its 3.5 for Douglas-fir was \
        checked)",
);
pub(super) const WOOD_ACROSS: ValueSource = recalled(
    "32.4 G + 9.9 radial, 32.4 G + 18.4 tangential, in ppm/K, of oven-dry wood of specific gravity G (Wood Handbook \
        FPL-GTR-190 (2010), chapter 4; not checked)",
);
pub(super) const DIMENSION: ValueSource =
    seen("Wood Handbook FPL-GTR-190 (2010), Table 13-5: dimensional change coefficients from 6 to 14 % moisture");
pub(super) const SHRINKAGE: ValueSource = ValueSource {
    status: Status::Derived,
    text: "Wood Handbook FPL-GTR-190 (2010), Table 4-3 (total shrinkage; not checked), converted to a coefficient by \
           C = (S/3000)/(1 - (S/100)(20/30))",
};
pub(super) const WOOD_LENGTHWISE: ValueSource =
    seen("awc.org: 0.1 to 0.2 % along the grain from green to dry, here over 30 % of moisture");
pub(super) const PLYWOOD_SHEET: ValueSource = seen(
    "APA, in copies: 6.1 ppm/K, 0.02 % for 10 % of relative humidity, 0.2 % from dry to saturated; in the plane of the sheet, whatever \
     the direction of the face grain",
);
pub(super) const FIBREBOARD: ValueSource =
    seen("a maker's figure: 0.3 % in length from 30 to 90 % of relative humidity");
pub(super) const FIBREBOARD_PIECE: ValueSource = recalled("of boards as sold for furniture");
pub(super) const EUROPEAN_BEECH: ValueSource = ValueSource {
    status: Status::Derived,
    text: "after Wagenfuehr (seen): total shrinkage 5.8 % radially, 11.8 % tangentially, converted to a coefficient by \
           C = (S/3000)/(1 - (S/100)(20/30))",
};
pub(super) const WOOD_DENSITY: ValueSource = ValueSource {
    status: Status::Derived,
    text: "specific gravity of the Wood Handbook FPL-GTR-190 (2010) times 1.12, at 12 % moisture; single boards differ",
};

pub(super) const CONTACT_TABLE: ValueSource = seen(
    "physics course, appendix of friction coefficients, ecampusontario.pressbooks.pub/physicsfundamentals; greased and \
     oiled pairs by its static column",
);
pub(super) const CONTACT_RANGES: ValueSource = seen(
    "Lust, CDA3000 Engineering Guide, Table 7.21, sliding: steel on plastic 0.18 to 0.35, on wood 0.30 to 0.60, on steel greased 0.04 to \
          0.25; wood on wood 0.30 to 0.50",
);
pub(super) const CONTACT_PRINTED: ValueSource = recalled("dry prints, run in; between 0.2 and 0.6 have been reported");
pub(super) const CONTACT_PLA: ValueSource = seen(
    "Santana, Alves, Sabino Netto, Proc. IMechE L 2020, doi 10.1177/1464420720978997 (abstract): 0.12 to 0.38, static, printed faces by the \
     angle of their beads; 0.2 to 0.6 reported (recalled); 0.62 to 0.76 at 0.2 to 1 m/s under 0.05 to 0.1 MPa, counterface not \
     read, not counted (Mater. Sci.-Poland 2025, doi 10.2478/msp-2025-0039)",
);
pub(super) const CONTACT_PETG: ValueSource = seen(
    "Santana, Alves, Sabino Netto, Proc. IMechE L 2020, doi 10.1177/1464420720978997 (abstract): 0.13 to 0.21, static, printed faces by the \
     angle of their beads; more reported (recalled)",
);
pub(super) const CONTACT_WOOD: ValueSource = seen(
    "Koubek, Dedicova, thesis, Linnaeus University 2014 (abstract): laminated pine 0.1 to 0.3 on smooth steel, about 0.7 on rough; McMillin et \
     al., Wood and Fiber Science (abstract): oven-dry pine 0.10 to 0.25; Lust, CDA3000 Engineering Guide, Table 7.21: 0.30 to 0.60",
);
pub(super) const CONTACT_LUBRICATED: ValueSource = recalled(
    "common practice, no source: prints with a film that their plastic stands; less than dry, how much depends on \
              the film",
);
pub(super) const CONTACT_RECALLED: ValueSource = recalled("sliding friction, clean parts at low speed");
pub(super) const BEARING_OILED: ValueSource = ValueSource {
    status: Status::Derived,
    text: "Dynaroll, Bearing torque (resource.dynaroll.com/torque.asp) and the same table at ddb-tech.com: mean running torque of \
           oiled bearings under 75 g and 400 g of thrust, less what that load makes; real-life values vary considerably",
};
pub(super) const BEARING_MU_OILED: ValueSource = seen("EZO: 0.0013 for a normal load in oil only; grease adds");
pub(super) const BEARING_GREASED: ValueSource = recalled(
    "common practice, no source: grease and shields from a fraction of the oiled bearing's drag to several times as much",
);
pub(super) const BEARING_WASHED: ValueSource =
    recalled("common practice, no source: no oil is left to be stirred; rusts and rattles");
pub(super) const BEARING_START: ValueSource =
    seen("Machinery's Handbook, 31st ed., p. 2478 (abstract): breakaway 1.5 to 1.8 times running");
pub(super) const BEARING: ValueSource = seen(
    "SKF, Rolling bearings, Table 1: open, oiled deep groove bearings under their usual load; more under a clock's",
);

pub(super) const STRENGTH_PLASTIC: ValueSource = recalled(
    "tensile strength as data sheets of filament give it, in the plane of the layers; half of it and less across them",
);
pub(super) const STRENGTH_METAL: ValueSource = recalled("yield strength of soft stock, as handbooks give it");
pub(super) const STRENGTH_ROD: ValueSource =
    recalled("bending strength of rods of fibres as their makers give it; depends on resin and lay-up");
pub(super) const STRENGTH_WOOD_ALONG: ValueSource = recalled(
    "bending along the grain, as the Wood Handbook's Table 5-3 has it for hardwoods at 12 % moisture (not checked)",
);
pub(super) const STRENGTH_WOOD: ValueSource = recalled(
    "solid wood: tension across the grain, as the Wood Handbook's Table 5-3 has it for hardwoods (not checked); sheets: bending",
);
pub(super) const CORD_NYLON: ValueSource = ValueSource {
    status: Status::Derived,
    text: "kiipeilytuomas.fi, Pulleys: where is the friction? (seen): 11 mm nylon rope over a sheave of 50 mm passes 90 %, its bearing \
           takes 0.3 %; 80 % over a smaller one",
};
pub(super) const CORD_POLYESTER: ValueSource =
    recalled("as of nylon, of which a rope has been measured; tight braids are stiffer");
pub(super) const CORD_HEMP: ValueSource =
    recalled("J. A. Eytelwein's 18.6 d^2/R (m) at 16 mm of diameter; worn ropes have a third of it");
pub(super) const CORD_GUT: ValueSource = recalled("common practice, no source: solid and stiff, softer when oiled");
pub(super) const CORD_WIRE: ValueSource = ValueSource {
    status: Status::Derived,
    text: "verope.com, Efficiency of the rope (seen): 2 % lost over a sheave with its bearing, here taken for a sheave of 20 diameters",
};
pub(super) const CORD_SOLID: ValueSource =
    recalled("density of the fibre, of which a braid or lay fills about 0.65 of the circle over the cord");
pub(super) const CORD_GUT_SOLID: ValueSource = recalled("nearly solid");
pub(super) const CORD_WIRE_MASS: ValueSource = seen(
    "API Specification 9A, table C.1: 34.5 kg for 100 m of class 6 x 7 at 10 mm with fibre core, which is 4390 kg/m3; more with a core of steel",
);
pub(super) const CORD_BENT_FIBRE: ValueSource = seen(
    "The Complete Rigger's Apprentice, Fig. 2-17 (after MacWhyte Wire Rope Co.): sheaves of six to eight times a fibre rope's diameter",
);
pub(super) const CORD_BENT_WIRE: ValueSource =
    seen("The Complete Rigger's Apprentice, p. 56: sheaves of wire rope at the very least 20 times its diameter");
