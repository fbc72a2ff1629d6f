//! `from` and `leave_out`: a scenario that changes another, the place of every problem in it, and files that do not come together.

use std::fs;
use std::path::PathBuf;

use beatwright::clock::design::{DriveDesign, EscapementDesign, Gravity, Maintaining, PendulumDesign, RodSection};
use beatwright::scenario::{LONGEST_CHAIN, LoadError, NO_OVERRIDES, Scenario, load, load_any, read};

use crate::support::plain::{self, HERON};

struct Folder(tempfile::TempDir);

impl Folder {
    /// A folder with heron.toml and further files.
    fn with(files: &[(&str, &str)]) -> Self {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join("heron.toml"), HERON).unwrap();
        for (name, text) in files {
            let path = folder.path().join(name);
            fs::create_dir_all(path.parent().unwrap()).unwrap();
            fs::write(path, text).unwrap();
        }
        Self(folder)
    }

    fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    fn load(&self, name: &str, overrides: &[&str]) -> Result<Scenario, LoadError> {
        load(&self.path(name), overrides)
    }

    fn loaded(&self, name: &str, overrides: &[&str]) -> Scenario {
        self.load(name, overrides).unwrap_or_else(|error| panic!("{error}"))
    }

    /// The report of problems, the folder's name left out.
    fn report(&self, name: &str) -> String {
        match self.load(name, &[]) {
            Err(LoadError::Problems(problems)) => {
                // The width of a report does not depend on where the folder is.
                let folder = format!("{}/", self.0.path().display());
                let told: Vec<String> = problems
                    .list()
                    .iter()
                    .map(|problem| {
                        let place = in_heron(&problems.place(problem).replace(&folder, ""));
                        let message = problem.message.replace(&folder, "");
                        format!("{place} {}\n  {message}\n  {}", problem.code, problem.help.replace(&folder, ""))
                    })
                    .collect();
                told.join("\n")
            }
            Err(other) => panic!("{other}"),
            Ok(_) => panic!("{name} reads without a problem"),
        }
    }
}

/// A place in Heron by what its line begins with, which does not move when Heron grows.
fn in_heron(place: &str) -> String {
    let Some(line) = place.strip_prefix("heron.toml:").and_then(|rest| rest.split(':').next()) else {
        return place.to_owned();
    };
    let text = HERON.lines().nth(line.parse::<usize>().unwrap() - 1).unwrap();
    format!("heron.toml, {}", text.split_whitespace().next().unwrap())
}

/// Heron changed by one file.
fn over_heron(text: &str) -> Folder {
    Folder::with(&[("over.toml", &format!("from = \"heron.toml\"\n{text}"))])
}

#[test]
fn exact_what_is_not_changed_is_the_lower_file_s() {
    let folder = over_heron("");
    let (over, heron) = (folder.loaded("over.toml", &[]), folder.loaded("heron.toml", &[]));
    assert_eq!(over.design, heron.design);
    assert_eq!(over.leaves(), heron.leaves());
    assert_eq!(over.starts_from.len(), 1);
    assert!(over.starts_from[0].ends_with("heron.toml") && heron.starts_from.is_empty());
    assert_ne!(over.hash, heron.hash);
}

#[test]
fn exact_tables_merge_values_replace_and_lists_merge_by_name() {
    let folder = over_heron(
        "name = \"Other\"\n[drive]\nweight = \"2 kg\"\nmaintaining = \"endless_cord\"\n[drive.pulley]\ndiameter = \"30 mm\"\n\
         [[train.arbor]]\nname = \"third\"\nmass = \"50 g\"\n[[pendulum.part]]\nname = \"hook\"\nmass = \"5 g\"\n\
         below_axis = \"10 mm\"\ninertia = \"1e-7 kg m^2\"\n[train.hands]\nmotion_work = [[10, 30], [12, 48]]\n",
    );
    let design = folder.loaded("over.toml", &[]).design;
    assert_eq!(design.name, "Other");
    let Some(DriveDesign::Weight(drive)) = design.drive else { panic!("no weight") };
    assert_eq!((drive.weight_kg, drive.falls, drive.maintaining), (2.0, 2, Maintaining::EndlessCord));
    let pulley = drive.pulley.unwrap();
    assert_eq!((pulley.diameter_m, pulley.pivot.diameter_m), (0.03, 0.005));
    let train = design.train.unwrap();
    let names: Vec<&str> = train.arbors.iter().map(|arbor| arbor.name.as_str()).collect();
    assert_eq!(names, ["great", "centre", "third", "escape"]);
    assert_eq!((train.arbors[2].mass_kg, train.arbors[2].wheel_teeth), (0.05, Some(90)));
    assert_eq!(train.motion_work, [(10, 30), (12, 48)]);
    let PendulumDesign::Parts(pendulum) = design.pendulum else { panic!("no parts") };
    let names: Vec<&str> = pendulum.extras.iter().map(|extra| extra.name.as_str()).collect();
    assert_eq!(names, ["pallets", "hook"]);
}

#[test]
fn exact_parts_are_left_out_by_their_path() {
    let folder = over_heron("leave_out = [\"pendulum.nut\", \"pendulum.part.pallets\", \"drive.drum_turns\"]\n");
    let design = folder.loaded("over.toml", &[]).design;
    let PendulumDesign::Parts(pendulum) = design.pendulum else { panic!("no parts") };
    assert!(pendulum.nut.is_none() && pendulum.extras.is_empty());
    let Some(DriveDesign::Weight(drive)) = design.drive else { panic!("no weight") };
    assert_eq!(drive.drum_turns, None);
}

#[test]
fn another_alternative_drives_out_the_lower_file_s() {
    let folder = over_heron(
        "[place]\ngravity = \"9.8 m/s^2\"\n[pendulum.rod]\nshape = \"flat\"\ndepth = \"30 mm\"\nwidth = \"8 mm\"\n\
         length = \"1090 mm\"\ntop = \"-10 mm\"\nmaterial = \"beech\"\n[escapement.recoil_anchor]\nteeth = 30\n\
         radius = \"60 mm\"\nspaces = 7.5\nlift = \"4 deg\"\ndrop = \"2 deg\"\nfriction = 0.2\n\
         tooth = { form = \"pointed\", depth = \"10 mm\", undercut = \"10 deg\", wedge = \"12 deg\" }\n",
    );
    let design = folder.loaded("over.toml", &[]).design;
    assert_eq!(design.place.gravity, Gravity::Stated(9.8));
    assert!(matches!(design.escapement, EscapementDesign::RecoilAnchor(_)));
    let PendulumDesign::Parts(pendulum) = design.pendulum else { panic!("no parts") };
    assert!(matches!(pendulum.rod.section, RodSection::Flat { .. }));
    let folder = over_heron(
        "[pendulum.lumped]\ninertia = \"1 kg m^2\"\nmass = \"1 kg\"\ncentre_of_mass = \"1 m\"\n\
         [drive.lumped]\nescape_torque = \"2 mN m\"\ninertia = \"2e-6 kg m^2\"\n",
    );
    let design = folder.loaded("over.toml", &[]).design;
    assert!(matches!(design.pendulum, PendulumDesign::Lumped(_)));
    assert!(matches!(design.drive, Some(DriveDesign::Lumped(_))));
    let folder = over_heron(
        "leave_out = [\"train\", \"drive\"]\n[escapement.ideal_torque]\ntorque = \"1 mN m\"\nbefore = \"1 deg\"\nafter = \"1 deg\"\n",
    );
    let design = folder.loaded("over.toml", &[]).design;
    assert!(matches!(design.escapement, EscapementDesign::IdealTorque(_)) && design.escape_wheel.is_none());
}

#[test]
fn overrides_work_on_the_merged_scenario() {
    let folder = over_heron("[drive]\nweight = \"2 kg\"\n");
    let set = folder.loaded("over.toml", &["drive.weight=3 kg", "train.arbor.third.mass=40 g"]);
    let Some(DriveDesign::Weight(drive)) = &set.design.drive else { panic!("no weight") };
    assert_eq!(drive.weight_kg, 3.0);
    let further = set.with_overrides(&["drive.falls=1".to_owned(), "drive.weight=4 kg".to_owned()]);
    assert!(matches!(further, Err(LoadError::Problems(_))), "Heron's pulley does not go with one fall");
    let further = set.with_overrides(&["drive.weight=4 kg".to_owned()]).unwrap();
    let Some(DriveDesign::Weight(drive)) = &further.design.drive else { panic!("no weight") };
    assert_eq!(drive.weight_kg, 4.0);
    assert_eq!(further.design.train.unwrap().arbors[2].mass_kg, 0.04);
    for text in ["from=wren.toml", "leave_out=[]"] {
        assert!(matches!(folder.load("over.toml", &[text]), Err(LoadError::Problems(_))), "{text}");
    }
}

#[test]
fn the_fingerprint_covers_every_file() {
    let folder = Folder::with(&[
        ("lower.toml", "from = \"heron.toml\"\n"),
        ("upper.toml", "from = \"lower.toml\"\nname = \"Upper\"\n"),
    ]);
    let before = folder.loaded("upper.toml", &[]);
    assert_eq!(before.starts_from.len(), 2);
    assert_eq!(before.with_overrides(&NO_OVERRIDES).unwrap().hash, before.hash);
    for name in ["heron.toml", "lower.toml", "upper.toml"] {
        let text = fs::read_to_string(folder.path(name)).unwrap();
        fs::write(folder.path(name), format!("{text}\n# a remark\n")).unwrap();
        assert_ne!(folder.loaded("upper.toml", &[]).hash, before.hash, "{name}");
        fs::write(folder.path(name), text).unwrap();
        assert_eq!(folder.loaded("upper.toml", &[]).hash, before.hash, "{name}");
    }
}

#[test]
fn paths_start_from_the_folder_of_the_file_that_names_them() {
    let folder = Folder::with(&[
        (
            "deep/lower.toml",
            "from = \"../heron.toml\"\n[escapement.outline]\nteeth = 30\ncentre_distance = \"80 mm\"\nfriction = 0.2\n[escapement.outline.drawing]\nfile = \"parts.dxf\"\ntooth = \"a\"\nentry = \"b\"\nexit = \"c\"\n",
        ),
        ("deep/parts.dxf", "no drawing"),
        ("upper.toml", "from = \"deep/lower.toml\"\n"),
    ]);
    let report = folder.report("upper.toml");
    assert!(report.starts_with("deep/lower.toml:7:8 drawing\n  parts.dxf:"), "{report}");
}

#[test]
fn tells_what_is_wrong_where_it_stands() {
    let folder = Folder::with(&[
        ("lower.toml", "from = \"heron.toml\"\n[drive]\nweight = \"-2 kg\"\nspeed = 3\n"),
        (
            "upper.toml",
            "from = \"lower.toml\"\n[pendulum.bob]\nbelow_axis = \"1 kg\"\n[[train.arbor]]\nname = \"third\"\nwheel_teeth = 1.5\n",
        ),
    ]);
    insta::assert_snapshot!("wrong_in_both", folder.report("upper.toml"));
    insta::assert_snapshot!("does_not_fit", over_heron("[drive]\nfalls = 1\n").report("over.toml"));
    insta::assert_snapshot!(
        "another_kind_is_to_be_whole",
        over_heron("[pendulum.rod]\nshape = \"round\"\ndiameter = \"8 mm\"\n").report("over.toml")
    );
    insta::assert_snapshot!(
        "nothing_to_leave_out",
        over_heron("leave_out = [\"pendulum.nutt\", 3, \"train.arbor.fourth\"]\n").report("over.toml")
    );
    insta::assert_snapshot!("leave_out_is_no_list", over_heron("leave_out = \"pendulum.nut\"\n").report("over.toml"));
    insta::assert_snapshot!(
        "broken_below",
        Folder::with(&[("a.toml", "from = \"b.toml\"\nname = 3\n"), ("b.toml", "from = \"heron.toml\"\n[drive\n")])
            .report("a.toml")
    );
    insta::assert_snapshot!("mistyped", over_heron("leave_uot = []\n").report("over.toml"));
    let alone = Folder::with(&[("a.toml", &format!("leave_out = [\"drive\"]\n{HERON}"))]);
    insta::assert_snapshot!("leave_out_alone", alone.report("a.toml"));
}

#[test]
fn tells_files_that_do_not_come_together() {
    let cases: &[(&str, &str)] = &[
        ("missing", "\"absent.toml\""),
        ("directory", "\".\""),
        ("number", "3"),
        ("nothing", "\"empty.toml\""),
        ("no-text", "\"binary.toml\""),
        ("itself", "\"./itself.toml\""),
    ];
    let mut told = Vec::new();
    for (name, from) in cases {
        let folder = Folder::with(&[("empty.toml", " \n")]);
        fs::write(folder.path("binary.toml"), [0xff, 0xfe]).unwrap();
        let file = format!("{name}.toml");
        fs::write(folder.path(&file), format!("# {name}\nfrom = {from}\n")).unwrap();
        told.push(folder.report(&file));
    }
    let circle = Folder::with(&[
        ("a.toml", "from = \"b.toml\"\n"),
        ("b.toml", "from = \"deep/c.toml\"\n"),
        ("deep/c.toml", "from = \"../b.toml\"\n"),
    ]);
    told.push(circle.report("a.toml"));
    insta::assert_snapshot!(told.join("\n"));
}

#[test]
fn exact_the_longest_chain_reads_and_one_more_does_not() {
    let folder = Folder::with(&[]);
    for number in 1..=LONGEST_CHAIN {
        let below = if number == 1 { "heron".to_owned() } else { format!("step-{}", number - 1) };
        fs::write(folder.path(&format!("step-{number}.toml")), format!("from = \"{below}.toml\"\n")).unwrap();
    }
    let longest = folder.loaded(&format!("step-{}.toml", LONGEST_CHAIN - 1), &[]);
    assert_eq!(longest.starts_from.len(), LONGEST_CHAIN - 1);
    assert_eq!(longest.design.name, "Heron");
    let report = folder.report(&format!("step-{LONGEST_CHAIN}.toml"));
    assert!(report.starts_with("step-1.toml:1:8 from_chain"), "{report}");
}

#[test]
fn a_text_in_no_folder_starts_from_nothing() {
    insta::assert_snapshot!(plain::complaint(read("text.toml", "from = \"heron.toml\"\n", &NO_OVERRIDES)));
}

#[test]
fn the_shipped_clocks_still_read() {
    for entry in fs::read_dir(plain::path("")).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_some_and(|ending| ending == "toml") {
            load_any(&path, &NO_OVERRIDES).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
        }
    }
}
