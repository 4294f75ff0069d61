//! The `latchstroke` program: reads the command line, runs one command, says how it went.

mod commands;
mod recording;

use clap::Parser;
use commands::args::{Arguments, Command};
use commands::{
    calibrate, check, film, fit, hand_on, handout, judge, listen, live, measure, new, pace, parts, preload,
    reading, sleeve, talk, tolerance, turn, warm, wrong,
};
use std::process::ExitCode;

fn main() -> ExitCode {
    commands::signals::listen();
    let arguments = match Arguments::try_parse() {
        Ok(arguments) => arguments,
        Err(answer) => return commands::of_clap(&answer),
    };
    let result = match arguments.command {
        Command::Judge(options) => judge::run(&options),
        Command::Turn(options) => turn::run(&options),
        Command::Sleeve(options) => sleeve::run(&options),
        Command::Preload(options) => preload::run(&options),
        Command::Pace(options) => pace::run(&options),
        Command::Warm(options) => warm::run(&options),
        Command::Wrong(options) => wrong::run(&options),
        Command::Film(options) => film::run(&options),
        Command::Listen(options) => listen::run(&options),
        Command::Fit(options) => fit::run(&options),
        Command::Reading(options) => reading::run(&options),
        Command::Live(options) => live::run(&options),
        Command::Parts(options) => parts::run(&options),
        Command::Calibrate(options) => calibrate::run(&options),
        Command::Tolerance(options) => tolerance::run(&options),
        Command::Measure(options) => measure::run(&options),
        Command::Talk(options) => talk::run(&options),
        Command::Check(options) => check::run(&options),
        Command::Handout(options) => handout::run(&options),
        Command::New(options) => new::run(&options),
        Command::Schema => new::schema(),
        Command::Cautions => commands::cautions(),
        Command::Completions(options) => hand_on::completions(&options),
        Command::Man(options) => hand_on::manual(&options),
        Command::Reference => hand_on::reference(),
    };
    let code = match result {
        Ok(outcome) => outcome.code(),
        Err(failure) => {
            failure.tell();
            commands::BAD_INPUT
        }
    };
    ExitCode::from(commands::signals::heard().unwrap_or(code))
}
