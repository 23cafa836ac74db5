//! Profiles that come with the program: generic machines, described by what they are.

use super::profile::Machine;
use super::written::WrittenMachine;
use crate::fault::Certain;
use crate::job::Syntax;

/// A profile that comes with the program.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub struct Starter {
    /// Name by which it is chosen.
    pub name: &'static str,
    /// The profile, in TOML with comments.
    pub text: &'static str,
}

macro_rules! starters {
    ($($name:literal)*) => {
        &[$(Starter { name: $name, text: include_str!(concat!("starters/", $name, ".toml")) }),*]
    };
}

/// Every profile that comes with the program, in the order in which it lists them.
pub const STARTERS: &[Starter] = starters! {
    "pen-plotter"
    "face-pen-plotter"
    "cutting-plotter"
    "flatbed-cutter-back"
    "flatbed-cutter-face"
    "straight-head-cutter"
    "drag-knife-router"
    "vector-cutter"
    "drawing-exchange"
    "oldest-readers"
};

/// A commented profile to start from.
pub const MACHINE_STARTER: &str = include_str!("starters/flatbed-cutter-back.toml");

impl Starter {
    /// Returns the profile of a name.
    #[must_use]
    pub fn by_name(name: &str) -> Option<&'static Self> {
        STARTERS.iter().find(|starter| starter.name == name)
    }

    /// Returns the machine.
    ///
    /// # Panics
    ///
    /// Panics if the profile is not sound, which a test holds of all.
    #[must_use]
    pub fn machine(&self) -> Machine {
        let written = WrittenMachine::read(self.text, Syntax::Toml).certain("profile of this machine that can be read");
        written.resolve(self.name).value.certain("machine of this profile")
    }
}

impl Machine {
    /// Returns the machine of a name that comes with the program.
    #[must_use]
    pub fn starter(name: &str) -> Option<Self> {
        Some(Starter::by_name(name)?.machine())
    }
}

#[cfg(test)]
mod tests {
    use super::STARTERS;

    #[test]
    fn every_starter_is_a_machine_with_a_description() {
        for starter in STARTERS {
            let written = super::WrittenMachine::read(starter.text, super::Syntax::Toml);
            let resolved = written.unwrap_or_else(|error| panic!("{}: {error}", starter.name)).resolve(starter.name);
            let machine = resolved.into_result().unwrap_or_else(|problems| panic!("{}: {problems:?}", starter.name));
            assert!(machine.about.len() > 20, "{}", starter.name);
        }
    }

    /// Keys whose numbers are names: of tools, layers and colours that a profile chooses for itself, of formats, units and papers.
    const NAMES: [&str; 9] =
        ["number", "layer", "color", "dxf_color", "format", "unit", "turn", "reference_line", "labels"];

    #[test]
    fn every_number_without_a_source_is_marked() {
        for starter in STARTERS {
            assert!(starter.text.contains("\n# \"practice\" marks a value"), "{}", starter.name);
            let keys = starter.text.lines().filter_map(|line| line.split_once(" = "));
            for (key, rest) in keys.filter(|(key, _)| !key.starts_with('#') && !NAMES.contains(key)) {
                let (value, comment) = rest.split_once('#').unwrap_or((rest, ""));
                let is_zero = value.trim() == "[0, 0]";
                if (value.contains(|c: char| c.is_ascii_digit()) && !is_zero) || key == "lean" {
                    assert!(comment.trim_start().starts_with("practice"), "{}: {key} = {rest}", starter.name);
                }
            }
        }
    }

    #[test]
    fn every_starter_and_its_picture_warn_of_blades() {
        for starter in STARTERS {
            assert!(starter.text.contains("\n# CAUTION: "), "{}", starter.name);
            let machine = starter.machine();
            let Some((_, program)) = machine.sample() else { panic!("{} has no sample", starter.name) };
            let marks = machine.bed_picture(&program).layers.into_iter().flat_map(|layer| layer.marks);
            let mut words = marks.filter_map(|mark| match mark {
                crate::drawing::Mark::Text(text) => Some(text.content),
                _ => None,
            });
            assert!(words.any(|words| words.starts_with("Blades cut people")), "{}", starter.name);
        }
    }
}
