//! The types of the screens: what every command is asked and answers, as TypeScript. They are generated into
//! `ui/src/gen/wire.ts` and committed; this test holds the file to the code.

use std::collections::BTreeMap;
use std::path::Path;

use survey::Kind;
use ts_rs::{Config, TS, TypeVisitor};

use crate::jobs::{COMMANDS, each_command};
use crate::refusal::RefusalWire;

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
