//! Which words and facts raise which hazard: data.
//!
//! Common practice of reading, measured against `tests/data/cautions.csv`; no
//! published source. Words of both sides of the ocean. How a rule is laid over
//! a text is said in `recognise`.

use super::hazard::Hazard;

/// Words in one sentence.
pub(super) struct WordRule {
    /// What they raise.
    pub hazard: Hazard,
    /// Of each group one phrase must stand in the sentence; the part's name may
    /// stand for all groups but one. The first is not denied.
    pub all: &'static [&'static [&'static str]],
    /// Phrases that speak of something else.
    pub unless: &'static [&'static str],
}

/// A part's name, together with what happens to it.
pub(super) struct NameRule {
    /// What it raises.
    pub hazard: Hazard,
    /// The names, or the words in one.
    pub names: &'static [&'static str],
    /// Words in a name that make it something else.
    pub unless: &'static [&'static str],
    /// What has to happen to it.
    pub when: When,
}

/// What has to happen to a part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum When {
    /// A record speaks of it.
    Named,
    /// It comes off.
    ComesOff,
    /// It comes off or goes on.
    Moves,
    /// It comes off or goes on, and belongs to a suspension.
    MovesInSuspension,
}

const fn words(
    hazard: Hazard,
    all: &'static [&'static [&'static str]],
    unless: &'static [&'static str],
) -> WordRule {
    WordRule {
        hazard,
        all,
        unless,
    }
}

const fn name(
    hazard: Hazard,
    names: &'static [&'static str],
    unless: &'static [&'static str],
    when: When,
) -> NameRule {
    NameRule {
        hazard,
        names,
        unless,
        when,
    }
}

const PAINT: &[&str] = &[
    "paint",
    "coat of paint",
    "colour",
    "color",
    "primer",
    "enamel",
    "lacquer",
    "varnish",
];

const AIR_CONDITIONING: &[&str] = &[
    "air con",
    "aircon",
    "a c",
    "ac",
    "air cond",
    "a cond",
    "aircond",
    "air condition",
    "air conditioner",
    "air conditioning",
    "airconditioner",
    "airconditioning",
];

/// Parts around an air conditioner that do not open its circuit.
const AROUND_IT: &[&str] = &[
    "belt",
    "fan",
    "mount",
    "mounting",
    "bracket",
    "filter",
    "switch",
    "heater",
    "vent",
    "drain",
    "power",
    "clutch",
    "=hosing",
    "wash",
    "cover",
    "thermostat",
    "no air",
    "=cleaned",
    "clean",
];

const FUEL: &[&str] = &["fuel", "petrol", "gasoline", "diesel"];

const TANKS: &[&str] = &["tank", "drum", "barrel", "jerrycan", "canister"];

const HEAT: &[&str] = &[
    "weld",
    "braze",
    "solder",
    "grind",
    "oxyacetylene",
    "gas axe",
    "plasma",
    "blowtorch",
    "blowlamp",
    "cutting torch",
];

const EXHAUST: &[&str] = &[
    "exhaust",
    "muffler",
    "silencer",
    "exhaust manifold",
    "tailpipe",
    "downpipe",
];

pub(super) const WORDS: &[WordRule] = &[
    // Silica.
    words(
        Hazard::Silica,
        &[&[
            "sandblast",
            "sandblaster",
            "sand blast",
            "grit blast",
            "shot blast",
            "bead blast",
            "media blast",
            "soda blast",
            "vapour blast",
            "vapor blast",
            "blaster",
            "media blaster",
            "blast cabinet",
            "blasting pot",
            "blasting sand",
            "abrasive blast",
        ]],
        &["done by", "the man"],
    ),
    words(
        Hazard::Silica,
        &[
            &["blast"],
            &[
                "wheel", "frame", "chassis", "axle", "panel", "rust", "metal", "steel", "grit",
                "glass",
            ],
        ],
        &["blasted thing", "done by", "the man"],
    ),
    words(
        Hazard::Silica,
        &[
            &[
                "sand",
                "block sand",
                "rub",
                "rub down",
                "flat",
                "grind",
                "=ground",
                "file",
                "shape",
            ],
            &["filler", "putty", "stopper", "skim"],
        ],
        &["wet", "filler neck", "filler cap"],
    ),
    // Asbestos.
    words(
        Hazard::Asbestos,
        &[&["asbestos", "brake dust", "clutch dust", "lining dust"]],
        &[],
    ),
    words(
        Hazard::Asbestos,
        &[
            &[
                "brake drum",
                "drum",
                "brake shoe",
                "shoe",
                "brake pad",
                "pad",
                "brake lining",
                "lining",
                "clutch plate",
                "clutch disc",
                "clutch disk",
            ],
            &[
                "pull", "=off", "strip", "remove", "reline", "rivet", "dust", "brush", "blow",
                "clean",
            ],
        ],
        &[
            "oil",
            "on the shelf",
            "new lining",
            "felt pad",
            "rubber pad",
            "door",
            "roof",
            "track pad",
            "panel",
            "cushion",
        ],
    ),
    // Lead.
    words(
        Hazard::Lead,
        &[
            &[
                "sand",
                "scrape",
                "burn",
                "burnt",
                "heat gun",
                "wire wheel",
                "wire brush",
                "grind",
                "rub down",
                "strip",
                "needle gun",
                "blast",
                "chip",
            ],
            PAINT,
        ],
        &[
            "sand colour",
            "sand color",
            "fence",
            "brush mark",
            "have it",
            "primer coat",
        ],
    ),
    words(
        Hazard::Lead,
        &[&[
            "red lead",
            "lead paint",
            "lead load",
            "lead filler",
            "lead solder",
            "lead wipe",
            "lead loading",
            "body lead",
            "filled with lead",
            "means lead",
            "lead dust",
            "melt lead",
        ]],
        &[],
    ),
    words(
        Hazard::Lead,
        &[
            &["lead"],
            &["melt", "file", "pour", "molten", "seam", "paddle", "fill"],
        ],
        &["lead to", "earth", "sender"],
    ),
    // Isocyanates.
    words(
        Hazard::Isocyanates,
        &[&[
            "two pack",
            "=2k",
            "2 pack",
            "twopack",
            "isocyanate",
            "two part paint",
            "two component paint",
        ]],
        &["two pack of", "2 pack of"],
    ),
    words(
        Hazard::Isocyanates,
        &[
            &[
                "hardener",
                "urethane",
                "polyurethane",
                "clear coat",
                "clearcoat",
                "activator",
            ],
            &[
                "spray",
                "paint",
                "coat",
                "basecoat",
                "clear coat",
                "primer",
                "lacquer",
                "=shot",
            ],
        ],
        &["bush", "glue", "roller", "brush"],
    ),
    // Carbon monoxide.
    words(
        Hazard::CarbonMonoxide,
        &[&[
            "engine =running",
            "motor =running",
            "=running engine",
            "=running an engine",
            "=running the engine",
            "=run the engine",
            "=ran the engine",
            "=run the motor",
            "=ran the motor",
            "engine =ran",
            "first start",
            "=started the engine",
            "start the engine",
            "start it up",
            "=idling",
            "let it idle",
            "idle in the garage",
            "engine idle",
            "carbon monoxide",
            "exhaust fume",
            "run it indoors",
            "=ran it indoors",
        ]],
        &[
            "hot",
            "over heat",
            "overheat",
            "starter motor",
            "rough",
            "slow",
        ],
    ),
    words(
        Hazard::CarbonMonoxide,
        &[
            &["=fired", "=caught", "=ran", "started"],
            &["=ran", "=run", "petrol", "gasoline", "fume", "minute"],
            &[
                "engine", "petrol", "gasoline", "third", "turn", "cylinder", "go", "exhaust",
                "fume",
            ],
        ],
        &["bench", "scream", "starter", "camera", "ran out", "film"],
    ),
    words(
        Hazard::CarbonMonoxide,
        &[&["exhaust"], &["cough", "puff", "smoke", "fume"]],
        &[],
    ),
    words(
        Hazard::CarbonMonoxide,
        &[
            &["heater", "stove"],
            &[
                "paraffin",
                "kerosene",
                "propane",
                "charcoal",
                "space heater",
                "feet",
                "garage",
                "evening",
                "wood",
                "butane",
            ],
        ],
        &[
            "blanking",
            "matrix",
            "hose",
            "core",
            "valve",
            "cab heater",
            "electric",
        ],
    ),
    words(
        Hazard::CarbonMonoxide,
        &[EXHAUST, &["leak", "crack", "hole", "blow", "=blowing"]],
        &["bracket", "gauge", "stud", "inlet"],
    ),
    words(
        Hazard::CarbonMonoxide,
        &[EXHAUST, &["broken", "broke", "split"]],
        &["stud", "bolt", "clamp", "mount", "bracket", "hanger"],
    ),
    words(Hazard::CarbonMonoxide, &[&["exhaust leak"]], &[]),
    // Vehicle off the ground.
    words(
        Hazard::Raised,
        &[&[
            "axle stand",
            "jack stand",
            "on stand",
            "=four stands",
            "post lift",
            "vehicle lift",
            "car lift",
            "on the lift",
            "on the hoist",
            "on the ramp",
            "car ramp",
            "=jacked",
            "jack =up",
            "=jacking",
            "wheel =off",
            "let the axle down",
            "lower the axle",
            "under the car",
            "under the van",
        ]],
        &["jacking point", "steering wheel", "engine stand"],
    ),
    words(
        Hazard::Raised,
        &[
            &["jack"],
            &[
                "wheel",
                "chock",
                "car",
                "van",
                "vehicle",
                "sill",
                "diff",
                "differential",
            ],
        ],
        &["jack of", "the jackpot"],
    ),
    words(
        Hazard::Raised,
        &[
            &[
                "=lay", "=lie", "=lying", "slide", "=slid", "crawl", "=crept",
            ],
            &[
                "underneath",
                "beneath",
                "under it",
                "under her",
                "under the frame",
            ],
        ],
        &[],
    ),
    words(
        Hazard::Raised,
        &[
            &["=well =up", "up in the air"],
            &["front", "rear", "back", "van", "car", "=tail"],
        ],
        &["nose"],
    ),
    words(Hazard::Raised, &[&["chock"], &["wheel"]], &["roller"]),
    // Fuel.
    words(
        Hazard::Fuel,
        &[
            FUEL,
            &[
                "leak",
                "weep",
                "drip",
                "spill",
                "crack",
                "smell",
                "drain",
                "bottle",
                "bucket",
                "rinse",
                "wash",
                "pour",
                "vapour",
                "vapor",
                "hose",
                "line",
                "pipe",
                "pump",
                "filter",
                "separator",
            ],
        ],
        &["sold", "gauge", "injector", "valve", "sensor", "level"],
    ),
    words(
        Hazard::Fuel,
        &[
            &["gas tank", "gas line", "gas can", "gas pump"],
            &[
                "leak", "weep", "drip", "drain", "crack", "weld", "smell", "drop", "remove",
            ],
        ],
        &[],
    ),
    words(
        Hazard::Fuel,
        &[
            HEAT,
            &[
                "tank", "drum", "barrel", "jerrycan", "fuel", "petrol", "gasoline", "sender",
            ],
        ],
        &[
            "brake drum",
            "bottom tank",
            "header",
            "stand",
            "poly",
            "radiator",
        ],
    ),
    words(Hazard::Fuel, &[&["cut open", "cut up"], TANKS], &["brake"]),
    words(
        Hazard::Fuel,
        &[&["weld", "braze"], &["pipe", "line", "hose"]],
        &["exhaust", "clamp", "muffler", "silencer", "step", "rail"],
    ),
    // Phosgene.
    words(
        Hazard::Phosgene,
        &[
            &[
                "chlorinate",
                "trichloroethylene",
                "perchloroethylene",
                "brake cleaner",
                "brake clean",
                "degreaser",
                "carb cleaner",
            ],
            &["weld", "welder", "arc", "mig", "tig", "braze"],
        ],
        &[],
    ),
    // Compressed air.
    words(
        Hazard::CompressedAir,
        &[&[
            "air line",
            "airline",
            "air gun",
            "airgun",
            "blow gun",
            "blowgun",
            "compressed air",
            "air hose",
            "air nozzle",
        ]],
        &["cab"],
    ),
    words(
        Hazard::CompressedAir,
        &[
            &["=blew", "=blow", "=blowing"],
            &[
                "blow out",
                "=blew out",
                "=blowing out",
                "it out",
                "them out",
                "dry",
                "through with",
            ],
        ],
        &["hot", "smoke", "fuse", "wind", "hose", "seal", "gasket"],
    ),
    // Refrigerant.
    words(
        Hazard::Refrigerant,
        &[
            AIR_CONDITIONING,
            &[
                "recharge",
                "charge",
                "top up",
                "recover",
                "recovery",
                "leak",
                "cold",
                "cool",
                "hot",
                "work",
                "repair",
                "rerair",
                "fix",
                "service",
                "check",
                "system",
                "seize",
                "hiss",
                "undo",
                "=undid",
                "scratch",
                "u s",
                "us",
                "recommission",
                "=off",
                "need",
                "compressor",
                "condenser",
                "condensor",
                "evaporator",
                "drier",
                "dryer",
                "receiver",
                "hose",
                "pipe",
                "gas",
                "regas",
            ],
        ],
        AROUND_IT,
    ),
    words(
        Hazard::Refrigerant,
        &[&["refrigerant", "r12", "r134a", "regas", "gas recovery"]],
        &[],
    ),
    // Battery.
    words(
        Hazard::Battery,
        &[&[
            "jump start",
            "jumpstart",
            "jump lead",
            "jumper cable",
            "booster cable",
            "battery acid",
            "electrolyte",
            "battery charger",
        ]],
        &["receptacle"],
    ),
    words(
        Hazard::Battery,
        &[
            &["battery"],
            &[
                "charge",
                "flat",
                "dead",
                "replace",
                "change",
                "acid",
                "top up",
                "cell",
                "terminal",
                "cable",
                "clamp",
                "connect",
                "disconnect",
                "reconnect",
                "touch",
                "across",
                "fit",
                "install",
                "swap",
                "boost",
            ],
        ],
        &[
            "battery of",
            "torch",
            "camera",
            "radio",
            "tray",
            "lamp",
            "warning",
            "phone",
            "drill",
        ],
    ),
    words(
        Hazard::Battery,
        &[&["acid"], &["spill", "cell", "splash"]],
        &["citric", "phosphoric", "remark"],
    ),
    // Loaded springs.
    words(
        Hazard::Springs,
        &[&["coil spring", "spring compressor", "torsion bar"]],
        &[],
    ),
    words(
        Hazard::Springs,
        &[&["strut"], &["spring", "apart", "compress", "dismantle"]],
        &["gas strut"],
    ),
    words(
        Hazard::Springs,
        &[&["compress"], &["spring"]],
        &["spring clip", "brake"],
    ),
    // Paint stripper.
    words(
        Hazard::PaintStripper,
        &[&[
            "paint stripper",
            "paint remover",
            "dichloromethane",
            "methylene chloride",
            "=dcm",
            "stripping paste",
        ]],
        &[],
    ),
    words(
        Hazard::PaintStripper,
        &[
            &["=stripper"],
            &[
                "door", "paint", "brush", "panel", "coat", "tin", "bonnet", "hood", "wing",
                "fender", "roof",
            ],
        ],
        &["wire stripper"],
    ),
    // Airbags.
    words(
        Hazard::Airbag,
        &[&[
            "airbag",
            "air bag",
            "pretensioner",
            "pre tensioner",
            "seat belt tensioner",
            "srs",
        ]],
        &[],
    ),
    // Magnesium.
    words(
        Hazard::Magnesium,
        &[
            &["magnesium", "mag alloy", "=mag"],
            &[
                "grind", "=ground", "weld", "drill", "file", "sand", "burn", "burnt", "fire",
                "machine", "spark", "swarf", "cut", "turn",
            ],
        ],
        &["tablet"],
    ),
    // Fluoroelastomer.
    words(
        Hazard::Fluoroelastomer,
        &[
            &["fluoroelastomer", "fkm", "fluorocarbon", "fluoro rubber"],
            &[
                "burn", "burnt", "fire", "melt", "tar", "black", "sticky", "char",
            ],
        ],
        &[],
    ),
];

pub(super) const NAMES: &[NameRule] = &[
    name(
        Hazard::Asbestos,
        &[
            "brake drum",
            "brake shoe",
            "brake pad",
            "brake lining",
            "brake assembly",
            "backplate",
            "backing plate",
            "clutch",
        ],
        &[
            "pedal", "rod", "cable", "cylinder", "hose", "pipe", "linkage", "fork", "lever",
            "housing", "bell",
        ],
        When::ComesOff,
    ),
    name(
        Hazard::Raised,
        &["wheel", "road wheel"],
        &[
            "steering", "flywheel", "cylinder", "arch", "stud", "nut", "bearing", "trim", "fifth",
            "idler", "spare", "cap", "cover", "house", "well",
        ],
        When::Moves,
    ),
    name(
        Hazard::Raised,
        &[
            "axle",
            "gearbox",
            "transmission",
            "subframe",
            "leaf spring",
            "road spring",
            "differential",
        ],
        &[
            "stub", "seal", "mount", "cover", "shaft", "lever", "tunnel", "oil", "bush", "support",
        ],
        When::Moves,
    ),
    name(
        Hazard::Raised,
        &["spring"],
        &[
            "seat", "clip", "return", "pull", "valve", "washer", "hanger", "shackle", "bush",
            "bonnet", "hood", "door",
        ],
        When::MovesInSuspension,
    ),
    name(
        Hazard::Fuel,
        &[
            "fuel tank",
            "petrol tank",
            "gas tank",
            "filler neck",
            "filler pipe",
            "fuel sender",
            "tank sender",
            "fuel pump",
            "petrol pump",
            "fuel line",
            "petrol line",
            "gas line",
            "fuel pipe",
            "fuel hose",
            "fuel filter",
        ],
        &["gauge", "strap", "cap", "clip", "flap", "bracket"],
        When::ComesOff,
    ),
    name(
        Hazard::Battery,
        &["battery"],
        &["tray", "box", "strap", "carrier", "cover", "lid", "hatch"],
        When::Moves,
    ),
    name(
        Hazard::Springs,
        &["coil spring", "torsion bar", "suspension strut", "strut"],
        &[
            "gas", "bonnet", "hood", "boot", "trunk", "tailgate", "anchor", "tower", "top", "brace",
        ],
        When::Named,
    ),
    name(
        Hazard::Airbag,
        &["airbag", "air bag", "pretensioner"],
        &[],
        When::Named,
    ),
    name(
        Hazard::Refrigerant,
        &[
            "air conditioning compressor",
            "air conditioner compressor",
            "a c compressor",
            "aircon compressor",
            "a c condenser",
            "aircon condenser",
            "air conditioning condenser",
            "a c evaporator",
            "a c hose",
            "a c pipe",
            "receiver drier",
        ],
        &["belt", "mount", "bracket", "clutch"],
        When::Named,
    ),
];
