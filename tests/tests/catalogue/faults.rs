//! Each kind of bad row gives exactly its fault, with file, row, field and remedy.

use plinth_core::catalogue::{Catalogue, Fault, Files};

/// The table with one cell changed: the first row whose cells begin with `key`.
fn set(text: &str, key: &[&str], column: &str, value: &str) -> String {
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let header = reader.headers().unwrap().clone();
    let at = header.iter().position(|h| h == column).unwrap_or_else(|| panic!("no column {column}"));
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(&header).unwrap();
    let mut done = false;
    for record in reader.records() {
        let record = record.unwrap();
        let mut cells: Vec<String> = record.iter().map(str::to_owned).collect();
        if !done && key.iter().zip(&cells).all(|(k, c)| k == c) {
            assert_ne!(cells[at], value, "the edit does nothing");
            value.clone_into(&mut cells[at]);
            done = true;
        }
        writer.write_record(&cells).unwrap();
    }
    assert!(done, "no row {key:?}");
    String::from_utf8(writer.into_inner().unwrap()).unwrap()
}

fn faults(edit: impl Fn(&mut Files<'static>)) -> Vec<Fault> {
    let mut files = Files::builtin();
    edit(&mut files);
    Catalogue::read(&files).err().unwrap_or_default()
}

fn text<'f>(files: &'f mut Files<'static>, file: &str) -> &'f mut std::borrow::Cow<'static, str> {
    match file {
        "muscles.csv" => &mut files.muscles,
        "patterns.csv" => &mut files.patterns,
        "equipment.csv" => &mut files.equipment,
        "regions.csv" => &mut files.regions,
        "movements.csv" => &mut files.movements,
        "attributions.csv" => &mut files.attributions,
        "stand_ins.csv" => &mut files.stand_ins,
        _ => panic!("{file}"),
    }
}

type Case = (
    &'static str,
    &'static [&'static str],
    &'static str,
    &'static str,
    (&'static str, &'static str, &'static str),
);

/// File, key of the row, column, bad value; then row, field and remedy of the only fault.
const ONE_CELL: &[Case] = &[
    ("movements.csv", &["barbell_back_squat"], "name", " ", ("2", "name", "give a name")),
    (
        "movements.csv",
        &["barbell_back_squat"],
        "pattern",
        "sqat",
        ("2", "pattern", "use an id of patterns.csv"),
    ),
    (
        "movements.csv",
        &["barbell_back_squat"],
        "tier",
        "huge",
        ("2", "tier", "main, compound, single_joint, trunk"),
    ),
    (
        "movements.csv",
        &["barbell_back_squat"],
        "joint_actions",
        "hip extension;",
        ("2", "joint_actions", "separated by semicolons"),
    ),
    (
        "movements.csv",
        &["barbell_back_squat"],
        "equipment",
        "barbel+rack",
        ("2", "equipment", "use ids of equipment.csv"),
    ),
    (
        "movements.csv",
        &["barbell_back_squat"],
        "laterality",
        "left",
        ("2", "laterality", "both, each, paired"),
    ),
    (
        "movements.csv",
        &["barbell_back_squat"],
        "measure",
        "laps",
        ("2", "measure", "repetitions, hold, carry"),
    ),
    (
        "movements.csv",
        &["barbell_back_squat"],
        "load_kind",
        "sandbag",
        ("2", "load_kind", "bar, dumbbell_pair"),
    ),
    (
        "movements.csv",
        &["barbell_back_squat"],
        "axial",
        "4",
        ("2", "axial", "give a whole number from 0 to 3"),
    ),
    (
        "movements.csv",
        &["barbell_back_squat"],
        "axial",
        "",
        ("2", "axial", "give a whole number from 0 to 3"),
    ),
    (
        "movements.csv",
        &["barbell_back_squat"],
        "fatigue",
        "0",
        ("2", "fatigue", "give a whole number from 1 to 5"),
    ),
    (
        "movements.csv",
        &["barbell_back_squat"],
        "fatigue",
        "2.5",
        ("2", "fatigue", "give a whole number from 1 to 5"),
    ),
    (
        "movements.csv",
        &["barbell_back_squat"],
        "skill",
        "NaN",
        ("2", "skill", "give a whole number from 1 to 4"),
    ),
    (
        "movements.csv",
        &["barbell_back_squat"],
        "grip",
        "-1",
        ("2", "grip", "give a whole number from 0 to 3"),
    ),
    (
        "movements.csv",
        &["barbell_back_squat"],
        "grip",
        "99999999999999999999",
        ("2", "grip", "give a whole number from 0 to 3"),
    ),
    (
        "movements.csv",
        &["barbell_back_squat"],
        "flags",
        "low_back:2 knee:1 hip:1 ankle:1 shoulder:1 tail:2",
        ("2", "flags", "use ids of regions.csv"),
    ),
    (
        "movements.csv",
        &["barbell_back_squat"],
        "flags",
        "low_back:2 knee:1 hip:1 ankle:1 shoulder:1 neck:9",
        ("2", "flags", "give a whole number from 1 to 3"),
    ),
    (
        "movements.csv",
        &["barbell_back_squat"],
        "flags",
        "low_back:2 knee:1 hip:1 ankle:1 shoulder:1 shoulder:1",
        ("2", "flags", "keep one of them"),
    ),
    (
        "movements.csv",
        &["barbell_back_squat"],
        "pair_class",
        "arms",
        ("2", "pair_class", "push, pull, legs, trunk, none"),
    ),
    ("movements.csv", &["barbell_back_squat"], "trap", "bar", ("2", "trap", "none, chest, shoulders")),
    (
        "movements.csv",
        &["barbell_back_squat"],
        "heavy_class",
        "lift",
        ("2", "heavy_class", "none, squat, floor_pull"),
    ),
    ("movements.csv", &["barbell_back_squat"], "from_floor", "maybe", ("2", "from_floor", "write yes or no")),
    ("movements.csv", &["barbell_back_squat"], "lying", "side", ("2", "lying", "no, back, front")),
    ("movements.csv", &["barbell_back_squat"], "set_up_s", "601", ("2", "set_up_s", "from 0 to 600")),
    ("movements.csv", &["barbell_back_squat"], "ramp_sets", "7", ("2", "ramp_sets", "from 0 to 6")),
    (
        "movements.csv",
        &["barbell_back_squat"],
        "load_step_kg",
        "2,5",
        ("2", "load_step_kg", "at most three decimals"),
    ),
    (
        "movements.csv",
        &["barbell_back_squat"],
        "load_step_kg",
        "2.5555",
        ("2", "load_step_kg", "at most three decimals"),
    ),
    (
        "movements.csv",
        &["barbell_back_squat"],
        "load_step_kg",
        "-1",
        ("2", "load_step_kg", "kilograms from 0 to 50"),
    ),
    (
        "movements.csv",
        &["barbell_back_squat"],
        "load_step_kg",
        "51",
        ("2", "load_step_kg", "kilograms from 0 to 50"),
    ),
    (
        "attributions.csv",
        &["barbell_back_squat", "adductors"],
        "muscle",
        "aductors",
        ("4", "muscle", "use an id of muscles.csv"),
    ),
    (
        "attributions.csv",
        &["barbell_back_squat", "adductors"],
        "movement",
        "squatt",
        ("4", "movement", "use an id of movements.csv"),
    ),
    (
        "attributions.csv",
        &["barbell_back_squat", "adductors"],
        "muscle",
        "erectors",
        ("5", "muscle", "keep one of them"),
    ),
    (
        "attributions.csv",
        &["barbell_back_squat", "adductors"],
        "share",
        "half",
        ("4", "share", "direct, indirect"),
    ),
    (
        "attributions.csv",
        &["barbell_back_squat", "adductors"],
        "reason",
        " ",
        ("barbell_back_squat", "reason", "give both"),
    ),
    (
        "attributions.csv",
        &["barbell_back_squat", "adductors"],
        "source",
        "",
        ("barbell_back_squat", "reason", "common practice, no source"),
    ),
    (
        "attributions.csv",
        &["barbell_back_squat", "gluteals"],
        "second_reason",
        "",
        ("barbell_back_squat", "second_reason", "make it indirect"),
    ),
    (
        "attributions.csv",
        &["barbell_back_squat", "gluteals"],
        "second_source",
        "",
        ("barbell_back_squat", "second_reason", "make it indirect"),
    ),
    (
        "attributions.csv",
        &["barbell_back_squat", "adductors"],
        "share",
        "direct",
        ("barbell_back_squat", "second_reason", "make it indirect"),
    ),
    (
        "attributions.csv",
        &["standing_calf_raise", "calves"],
        "share",
        "indirect",
        ("standing_calf_raise", "share", "at least one direct muscle"),
    ),
    (
        "stand_ins.csv",
        &["barbell_back_squat", "body_weight_squat"],
        "kind",
        "sometimes",
        ("2", "kind", "discomfort:<region>"),
    ),
    (
        "stand_ins.csv",
        &["barbell_back_squat", "body_weight_squat"],
        "kind",
        "discomfort:tail",
        ("2", "kind", "discomfort:<region>"),
    ),
    (
        "stand_ins.csv",
        &["barbell_back_squat", "body_weight_squat"],
        "kind",
        "emphasis:tail",
        ("2", "kind", "emphasis:<muscle>"),
    ),
    (
        "stand_ins.csv",
        &["barbell_back_squat", "body_weight_squat"],
        "from",
        "squatt",
        ("2", "from", "use an id of movements.csv"),
    ),
    (
        "stand_ins.csv",
        &["barbell_back_squat", "body_weight_squat"],
        "to",
        "squatt",
        ("2", "to", "use an id of movements.csv"),
    ),
    (
        "stand_ins.csv",
        &["barbell_back_squat", "body_weight_squat"],
        "to",
        "barbell_back_squat",
        ("2", "to", "name another"),
    ),
    (
        "stand_ins.csv",
        &["barbell_back_squat", "body_weight_squat"],
        "reason",
        "",
        ("2", "reason", "say in a short clause"),
    ),
    (
        "stand_ins.csv",
        &["barbell_back_squat", "goblet_squat", "discomfort:low_back"],
        "to",
        "barbell_front_squat",
        ("barbell_back_squat -> barbell_front_squat", "kind", "keep one of them"),
    ),
    (
        "stand_ins.csv",
        &["barbell_back_squat", "goblet_squat", "discomfort:low_back"],
        "to",
        "low_bar_back_squat",
        ("barbell_back_squat -> low_bar_back_squat", "to", "choose one that asks less of it"),
    ),
    ("muscles.csv", &["calves"], "region", "middle", ("7", "region", "write lower, upper or trunk")),
    ("muscles.csv", &["calves"], "major", "y", ("7", "major", "write yes or no")),
    ("muscles.csv", &["calves"], "name", "", ("7", "name", "give a name")),
    (
        "patterns.csv",
        &["carry"],
        "kind",
        "odd",
        ("22", "kind", "write compound, single_joint, trunk or carry"),
    ),
    ("patterns.csv", &["carry"], "direction", "up", ("22", "direction", "write push, pull or none")),
    ("equipment.csv", &["wheel"], "name", "", ("33", "name", "give a name")),
    ("regions.csv", &["neck"], "name", "", ("2", "name", "give a name")),
];

#[test]
fn each_bad_cell_gives_exactly_its_fault() {
    for (file, key, column, value, (row, field, remedy)) in ONE_CELL {
        let found = faults(|f| {
            let of = text(f, file);
            *of = set(of, key, column, value).into();
        });
        let what = format!("{file} {key:?} {column} = {value:?}");
        assert_eq!(found.len(), 1, "{what}: {found:#?}");
        let f = &found[0];
        assert_eq!((f.file.as_str(), f.row.as_str(), f.field.as_str()), (*file, *row, *field), "{what}");
        assert!(f.remedy.contains(remedy), "{what}: {f}");
        assert!(!f.problem.is_empty() && f.to_string().contains(&f.remedy), "{what}");
    }
}

fn has(found: &[Fault], file: &str, row: &str, field: &str, remedy: &str) {
    let met =
        found.iter().any(|f| f.file == file && f.row == row && f.field == field && f.remedy.contains(remedy));
    assert!(
        met,
        "no fault {file} {row} {field} {remedy:?} among {:#?}",
        found.iter().take(6).collect::<Vec<_>>()
    );
}

#[test]
fn a_doubled_id_is_named_at_the_second_row() {
    let found = faults(|f| {
        let row = f.movements.lines().nth(1).unwrap().to_owned();
        f.movements.to_mut().push_str(&row);
        f.movements.to_mut().push('\n');
    });
    has(&found, "movements.csv", "119", "id", "ids are for ever");
    for (file, row) in
        [("muscles.csv", "20"), ("patterns.csv", "24"), ("equipment.csv", "34"), ("regions.csv", "10")]
    {
        let found = faults(|f| {
            let of = text(f, file);
            let first = of.lines().nth(1).unwrap().to_owned();
            of.to_mut().push_str(&first);
            of.to_mut().push('\n');
        });
        assert_eq!(found.len(), 1, "{file}: {found:?}");
        has(&found, file, row, "id", "ids are for ever");
    }
}

#[test]
fn an_id_with_capitals_is_refused() {
    let found = faults(|f| f.regions = set(&f.regions, &["neck"], "id", "Neck").into());
    has(&found, "regions.csv", "2", "id", "lower case letters");
}

#[test]
fn too_few_stand_ins_are_named_by_movement() {
    for left in [0, 1] {
        let found = faults(|f| {
            let mut seen = 0;
            let keep = f.stand_ins.lines().filter(|l| {
                seen += usize::from(l.starts_with("plank,"));
                !l.starts_with("plank,") || seen <= left
            });
            f.stand_ins = format!("{}\n", keep.collect::<Vec<_>>().join("\n")).into();
        });
        assert_eq!(found.len(), 1, "{found:?}");
        has(&found, "stand_ins.csv", "plank", "from", "give at least two");
        assert!(found[0].problem.starts_with(&left.to_string()), "{}", found[0]);
    }
}

#[test]
fn a_short_row_is_named_and_the_rows_after_it_keep_their_numbers() {
    let found = faults(|f| {
        let edited = set(&f.movements, &["barbell_front_squat"], "tier", "huge");
        let mut lines: Vec<String> = edited.lines().map(str::to_owned).collect();
        lines[2] = "low_bar_back_squat,Low-bar back squat".into();
        f.movements = format!("{}\n", lines.join("\n")).into();
    });
    has(&found, "movements.csv", "3", "row", "give every column of the header");
    has(&found, "movements.csv", "4", "tier", "write one of");
}

#[test]
fn a_column_too_many_or_missing_is_named_once_with_its_file() {
    for file in [
        "muscles.csv",
        "patterns.csv",
        "equipment.csv",
        "regions.csv",
        "movements.csv",
        "attributions.csv",
        "stand_ins.csv",
    ] {
        let about = |found: &[Fault], column: &str| {
            found.iter().filter(|f| f.file == file && f.row == "1" && f.field == column).count()
        };
        let more = faults(|f| {
            let of = text(f, file);
            *of = of
                .lines()
                .enumerate()
                .fold(String::new(), |all, (k, l)| {
                    format!("{all}{l},{}\n", if k == 0 { "colour" } else { "red" })
                })
                .into();
        });
        assert_eq!(about(&more, "colour"), 1, "{file}: {:?}", more.first());
        let renamed = faults(|f| {
            let of = text(f, file);
            let (head, rest) = of.split_once('\n').unwrap();
            let (first, others) = head.split_once(',').unwrap();
            *of = format!("{first}x,{others}\n{rest}").into();
        });
        let name = text(&mut Files::builtin(), file).split(',').next().unwrap().to_owned();
        assert_eq!(about(&renamed, &format!("{name}x")), 1, "{file}: {:?}", renamed.first());
        let without = faults(|f| {
            let of = text(f, file);
            let mut writer = csv::Writer::from_writer(Vec::new());
            for row in csv::ReaderBuilder::new().has_headers(false).from_reader(of.as_bytes()).records() {
                writer.write_record(row.unwrap().iter().skip(1)).unwrap();
            }
            *of = String::from_utf8(writer.into_inner().unwrap()).unwrap().into();
        });
        assert_eq!(about(&without, &name), 1, "{file}: {:?}", without.first());
    }
}

#[test]
fn empty_files_and_a_version_without_licence_are_faults() {
    let found = faults(|f| f.patterns = "".into());
    has(&found, "patterns.csv", "-", "file", "at least one row");
    let found = faults(|f| f.muscles = "id,name,region,major\n".into());
    has(&found, "patterns.csv", "-", "file", "at least one row");
    let found = faults(|f| f.version = "version = \"1\"\n".into());
    assert_eq!(found.len(), 1, "{found:?}");
    has(&found, "version.toml", "-", "file", "version and licence");
}

#[test]
fn several_faults_in_several_files_are_found_at_once() {
    let found = faults(|f| {
        f.movements = set(&f.movements, &["barbell_back_squat"], "tier", "huge").into();
        f.movements = set(&f.movements, &["plank"], "skill", "9").into();
        f.attributions = set(&f.attributions, &["barbell_back_squat", "adductors"], "share", "half").into();
        f.stand_ins = set(&f.stand_ins, &["barbell_back_squat", "body_weight_squat"], "reason", "").into();
        f.muscles = set(&f.muscles, &["calves"], "region", "middle").into();
    });
    let mut files: Vec<&str> = found.iter().map(|f| f.file.as_str()).collect();
    files.sort_unstable();
    assert_eq!(files, ["attributions.csv", "movements.csv", "movements.csv", "muscles.csv", "stand_ins.csv"]);
}
