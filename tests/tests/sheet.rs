//! The build sheet: one valid HTML file that needs nothing else, says everything, and prints.

#[path = "sheet/command.rs"]
mod command;
#[path = "sheet/html.rs"]
mod html;
#[path = "sheet/print.rs"]
mod print;
#[path = "sheet/survey.rs"]
mod survey;
