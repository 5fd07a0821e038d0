//! The program `stripelay`: files in, files out, progress, faults with their line.

mod args;
mod choices;
mod command;
mod cut_list;
mod digest;
mod failure;
mod fault_view;
mod happened;
mod input;
mod json_layout;
mod lists;
mod output;
mod pattern_project;
mod pictures;
mod plan_file;
mod progress;
mod project_file;
mod quilt_lists;
mod replace;
mod result_set;
mod results;
mod sheets;
mod stop;
mod summary;
mod swatch_words;
mod table;
mod threads;

use clap::Parser;
use failure::Failure;
use std::process::ExitCode;

fn main() -> ExitCode {
    stop::survive_file_limits();
    let args = match args::Args::try_parse() {
        Ok(args) => args,
        Err(wrong) => {
            // Help and version come this way too, and go to stdout with status 0.
            let _ = wrong.print();
            if let Some(tip) = args::loose_units(std::env::args_os()) {
                output::tell(&tip);
            }
            return ExitCode::from(wrong.exit_code().clamp(0, 2) as u8);
        }
    };
    match command::run(args.command) {
        Ok(()) | Err(Failure::ClosedPipe) => ExitCode::SUCCESS,
        Err(failure) => {
            output::complain(&failure);
            ExitCode::from(failure.status())
        }
    }
}
