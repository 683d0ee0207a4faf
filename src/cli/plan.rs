//! `weftdesk plan`: a string plan from a file, without a database.
use std::path::PathBuf;

use clap::Args;

use crate::cli::{Failure, answer, input_file};
use crate::craft::drawing::{self, HeadAt};
use crate::craft::string_plan::{PlanRequest, plan, text};

/// What `weftdesk plan` takes.
#[derive(Debug, Args)]
pub struct Arguments {
    /// The request as JSON, as `POST /v1/plans` takes it; `-` reads standard input.
    file: PathBuf,
    /// Print the plan as JSON instead of text.
    #[arg(long)]
    json: bool,
    /// Also write the drawing of the frame to this file.
    #[arg(long, value_name = "OUT")]
    svg: Option<PathBuf>,
    /// Draw with the head down.
    #[arg(long, requires = "svg")]
    head_down: bool,
}

/// Computes the plan and prints it.
///
/// # Errors
/// [`Failure::Refused`] with every fault by field and line; [`Failure::CouldNotRun`] for files out of reach.
pub fn run(arguments: &Arguments) -> Result<(), Failure> {
    let input = input_file::read(&arguments.file)?;
    let request: PlanRequest = input.json()?;
    let plan = plan(&request).map_err(|faults| {
        Failure::Refused(
            faults
                .iter()
                .map(|fault| input.fault_at(&fault.pointer, &fault.detail))
                .collect(),
        )
    })?;
    if let Some(out) = &arguments.svg {
        let head = if arguments.head_down {
            HeadAt::Bottom
        } else {
            HeadAt::Top
        };
        let drawing = drawing::svg(&request.frame, &plan, head);
        std::fs::write(out, drawing)
            .map_err(|error| Failure::CouldNotRun(format!("{}: {error}", out.display())))?;
    }
    if arguments.json {
        let json = serde_json::to_string_pretty(&plan)
            .map_err(|error| Failure::CouldNotRun(format!("the plan cannot be written as JSON: {error}")))?;
        answer(&(json + "\n"))
    } else {
        answer(&text::text(&plan))
    }
}
