//! The house rules of the sources, and the documents.

mod circles;
mod documents;
mod embedders;
mod house;
mod names;
mod one_list;
mod package;
mod problem_numbers;
mod problems;
mod public_api;
mod weight;
