//! The guide: what the program answers, and what it reads.
//!
//! [`commands`] lists the commands, their options and exit codes; [`answers`] explains the results; [`scenario_file`] is the
//! reference of what a scenario may contain; [`studies`] explains maps, printed copies, levers and seasons; [`motor_clocks`] is
//! about clocks driven by a stepping motor.

pub mod commands {
    #![doc = include_str!("commands.md")]
}

pub mod answers {
    #![doc = include_str!("answers.md")]
}

pub mod scenario_file {
    #![doc = include_str!("../../scenarios/README.md")]
}

pub mod studies {
    #![doc = include_str!("studies.md")]
}

pub mod motor_clocks {
    #![doc = include_str!("motor_clocks.md")]
}
