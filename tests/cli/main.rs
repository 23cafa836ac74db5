//! The command line as a user meets it.

mod batch;
mod bench;
mod calibration;
mod folders;
mod help;
mod jobs;
mod machines;
mod manners;
mod measure;
mod nest;
mod outputs;
mod pages;
mod print;
mod quote;
mod shop;
mod strangers;
mod watch;
