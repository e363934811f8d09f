//! The command line.

mod cli;

fn main() -> std::process::ExitCode {
    cli::main()
}
