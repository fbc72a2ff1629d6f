//! What a quantity of a scenario is called, from its path.

/// The quantity in a maker's words: "lock of the pallets" for `escapement.dead_beat.lock`.
#[must_use]
pub fn quantity_in_words(path: &str) -> String {
    if let Some(name) = own_name(path) {
        return name.to_owned();
    }
    if let Some(group) = path.strip_prefix("scale.") {
        return format!("scale of the {}", group.replace('_', " "));
    }
    let mut parents: Vec<&str> = path.split('.').collect();
    let leaf = parents.pop().unwrap_or_default();
    let at_pivot = parents.last() == Some(&"pivot");
    if at_pivot {
        parents.pop();
    }
    let name = leaf_name(leaf);
    let name = if at_pivot { format!("pivot {name}") } else { name };
    if leaf == "spaces" {
        return "tooth spaces embraced by the pallets".to_owned();
    }
    match owner(&parents, leaf) {
        Some(owner) => format!("{name} of {owner}"),
        None => name,
    }
}

/// A text whose paths, in backticks, are told in words.
#[must_use]
pub fn paths_in_words(text: &str) -> String {
    let parts = text.split('`').enumerate();
    parts.map(|(number, part)| if number % 2 == 1 { quantity_in_words(part) } else { part.to_owned() }).collect()
}

/// Quantities that the trade knows by a name of their own.
fn own_name(path: &str) -> Option<&'static str> {
    Some(match path {
        "start_arc" => "start arc",
        "margin" => "arc margin",
        "drive.weight" => "driving weight",
        "drive.drop" => "fall of the weight",
        "drive.falls" => "falls of the cord",
        "drive.drum_turns" => "turns of the drum",
        "drive.drum_diameter" => "drum diameter",
        "drive.cord_diameter" => "cord diameter",
        "pendulum.crutch_play" => "play of the crutch",
        "drive.cord_stiffness" => "stiffness of the cord",
        "drive.cord_mass_per_length" => "mass of a length of cord",
        "drive.drum_length" => "length of the drum",
        "drive.maintaining.lasts" => "time that the maintaining spring lasts",
        "drive.maintaining.share" => "share of the torque that the maintaining spring gives",
        "scale.all" => "scale of all parts",
        "season.temperature_yearly" => "yearly swing of the temperature",
        "season.temperature_daily" => "daily swing of the temperature",
        "season.humidity_yearly" => "yearly swing of the humidity",
        "season.humidity_daily" => "daily swing of the humidity",
        "season.rod_lag" => "lag of the rod behind the air's temperature",
        "season.wood_lag" => "lag of the parts behind the air's humidity",
        "season.cord_mass" => "mass of the cord",
        "support.stiffness" => "stiffness of the wall or case",
        "support.loss_factor" => "loss factor of the wall or case",
        "support.moving_mass" => "mass that moves with the wall or case",
        "support.weight_hangs" => "depth of the wound weight below the drum",
        "support.weight_q" => "Q of the swinging weight",
        "ageing.oiled" => "yearly growth of oiled frictions",
        "ageing.greased" => "yearly growth of greased frictions",
        "ageing.dry" => "yearly growth of dry frictions",
        "ageing.within" => "factor by which the growth of frictions may be off",
        "printer.centre_distance_error" => "error of the centre distances",
        _ => return None,
    })
}

fn leaf_name(leaf: &str) -> String {
    match leaf {
        "below_axis" => "depth below the axis".to_owned(),
        "next" => "direction to the next arbor".to_owned(),
        _ => leaf.replace('_', " "),
    }
}

/// What the quantity belongs to; `None` where its name says it.
fn owner(parents: &[&str], leaf: &str) -> Option<String> {
    let owner = match parents {
        [] => return None,
        ["train", "arbor", name, ..] => return Some(format!("the {name} arbor")),
        ["pendulum", "part" | "column", name, ..] => return Some(format!("the {name}")),
        ["escapement", "wheel", ..] => "the escape wheel",
        ["escapement", .., "tooth"] => "the escape teeth",
        ["escapement", ..] => match leaf {
            "lock" | "lift" | "beat_error" | "face_length" | "friction" => "the pallets",
            "radius" | "teeth" | "drop" => "the escape wheel",
            _ => "the escapement",
        },
        ["pendulum", "nut", ..] => "the rating nut",
        ["hands", hand, ..] => return Some(format!("the {hand} hand")),
        [.., last] => return Some(format!("the {}", last.replace('_', " "))),
    };
    Some(owner.to_owned())
}
