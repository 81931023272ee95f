//! The types of the screens: what every command is asked and answers, as TypeScript. They are generated into
//! `ui/src/gen/wire.ts` and committed; this test holds the file to the code.

use std::collections::BTreeMap;
use std::path::Path;

use serde::Serialize;
use survey::{Kind, LengthUnit};
use ts_rs::{Config, TS, TypeVisitor};

use crate::jobs::{COMMANDS, each_command};
use crate::refusal::RefusalWire;
use crate::told::{angle_rounded_up, format_to, rounded_up_to};

/// Whoever is handed the commands, with their types.
pub(crate) trait TakesCommands {
    fn command<Ask: TS + 'static, Answer: TS + 'static>(&mut self, name: &str);
}

struct Types {
    config: Config,
    /// What each type is declared as, by its name.
    declared: BTreeMap<String, String>,
    /// Name, ask and answer of each command.
    commands: Vec<(String, String, String)>,
}

impl TypeVisitor for Types {
    fn visit<T: TS + 'static + ?Sized>(&mut self) {
        // What has no file of its own, such as text, has no declaration.
        if T::output_path().is_some() {
            let name = T::ident(&self.config);
            let docs = T::docs().unwrap_or_default();
            let declared = format!("{docs}export {}\n", T::decl(&self.config));
            if let Some(known) = self.declared.insert(name.clone(), declared.clone()) {
                assert_eq!(known, declared, "two types are called {name}");
                return;
            }
        }
        T::visit_generics(self);
        T::visit_dependencies(self);
    }
}

impl TakesCommands for Types {
    fn command<Ask: TS + 'static, Answer: TS + 'static>(&mut self, name: &str) {
        self.visit::<Ask>();
        self.visit::<Answer>();
        self.commands.push((
            name.to_owned(),
            Ask::name(&self.config),
            Answer::name(&self.config),
        ));
    }
}

fn union(name: &str, told: &str, words: impl Iterator<Item = &'static str>) -> String {
    let words: Vec<String> = words.map(|word| format!("\"{word}\"")).collect();
    format!("/** {told} */\nexport type {name} = {};\n", words.join(" | "))
}

fn written() -> String {
    let mut types = Types {
        config: Config::new().with_large_int("number"),
        declared: BTreeMap::new(),
        commands: Vec::new(),
    };
    each_command(&mut types);
    types.visit::<RefusalWire>();
    let names: Vec<&str> = types.commands.iter().map(|(name, ..)| name.as_str()).collect();
    let known: Vec<&str> = COMMANDS.iter().map(|(name, _)| *name).collect();
    assert_eq!(names, known, "every command has its types");

    let mut text = String::from(
        "// Generated from the desk's command table by `make wire`. Not to be edited.\n//\n\
         // Lengths in mm, angles in degrees. What is not known is null, never 0.\n\n",
    );
    let words = [
        union(
            "KindWord",
            "What was read.",
            Kind::ALL.into_iter().map(Kind::word),
        ),
        union(
            "SlipWord",
            "What may have happened to a reading.",
            adjust::Slip::ALL.into_iter().map(adjust::Slip::word),
        ),
    ];
    for declared in words.iter().chain(types.declared.values()) {
        text.push_str(declared);
        text.push('\n');
    }
    text.push_str("/** Every command of the desk: what it is asked, and what it answers. */\nexport type Commands = {\n");
    for (name, ask, answer) in &types.commands {
        text.push_str(&format!("  \"{name}\": {{ ask: {ask}; answer: {answer} }};\n"));
    }
    text.push_str("};\n");
    text
}

/// A length as the desk writes it, for the screens to be held to.
#[derive(Serialize)]
struct WrittenLength {
    mm: f64,
    unit: &'static str,
    marks: u32,
    text: String,
    /// The same where it must not be told too small, as after ±.
    rounded_up: String,
}

/// An angle as the desk writes it.
#[derive(Serialize)]
struct WrittenAngle {
    deg: f64,
    text: String,
    rounded_up: String,
}

#[derive(Serialize)]
struct WrittenNumbers {
    lengths: Vec<WrittenLength>,
    angles: Vec<WrittenAngle>,
}

fn written_numbers() -> WrittenNumbers {
    // Nothing, what rounds to nothing, ties of marks and of tenths, fractions that carry, and what comes along.
    let chosen = [
        0.0, 0.04, 0.2, 0.79375, 1.5875, 2.01, 12.7, 25.05, 25.35, 25.4, 31.75, 101.203125, 304.7, 304.8,
        1032.25, 1032.35, 1389.0625, 4999.96,
    ];
    let along = (0..40).map(|n| 7.3 + 71.37 * f64::from(n));
    let all: Vec<f64> = chosen.into_iter().chain(along).flat_map(|mm| [mm, -mm]).collect();
    let units = [
        ("in", LengthUnit::Inch, &[8, 16, 32, 64][..]),
        ("mm", LengthUnit::Millimetre, &[16]),
    ];
    let mut lengths = Vec::new();
    for (word, unit, marks) in units {
        for &marks in marks {
            lengths.extend(all.iter().map(|&mm| WrittenLength {
                mm,
                unit: word,
                marks,
                text: survey::format_length(mm, format_to(unit, marks)),
                rounded_up: rounded_up_to(unit, marks, mm.abs()),
            }));
        }
    }
    let angles = [
        0.0, -0.04, 0.05, 0.25, 1.55, 12.4, -12.449, 33.333, 89.96, 120.0, -90.0,
    ];
    WrittenNumbers {
        lengths,
        angles: angles
            .into_iter()
            .map(|deg: f64| WrittenAngle {
                deg,
                text: survey::format_angle(deg.to_radians(), 1),
                rounded_up: angle_rounded_up(deg.abs().to_radians()),
            })
            .collect(),
    }
}

/// Holds a generated file to the code, or writes it where that is asked for.
pub(crate) fn holds(name: &str, text: &str) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../ui/src/gen")
        .join(name);
    if std::env::var_os("TRAMMEL_WRITE").is_some() {
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(&path, text).unwrap();
        return;
    }
    let committed = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(
        committed == text,
        "ui/src/gen/{name} is not what the code says: run `make wire` and commit it"
    );
}

#[test]
fn wire_types_of_the_screens_are_those_of_the_table() {
    holds("wire.ts", &written());
}

#[test]
fn wire_numbers_of_the_screens_are_written_as_the_desk_writes_them() {
    let mut text = serde_json::to_string(&written_numbers()).unwrap();
    // A line for each, so that a change shows where it is.
    text = text
        .replace("},{", "},\n{")
        .replace("[{", "[\n{")
        .replace("}]", "}\n]");
    text.push('\n');
    holds("lengths.json", &text);
}
