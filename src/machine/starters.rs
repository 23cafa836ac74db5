//! Profiles that come with the program: generic machines, described by what they are.

use super::profile::Machine;
use super::written::WrittenMachine;
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

    /// Returns the machine; never `None`, which a test holds.
    #[must_use]
    pub fn machine(&self) -> Option<Machine> {
        WrittenMachine::read(self.text, Syntax::Toml).ok()?.resolve(self.name).value
    }
}

impl Machine {
    /// Returns the machine of a name that comes with the program.
    #[must_use]
    pub fn starter(name: &str) -> Option<Self> {
        Starter::by_name(name)?.machine()
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
}
