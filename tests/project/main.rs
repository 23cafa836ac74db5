//! The house rules of the sources, and the documents.

mod circles;
mod documents;
mod house;
mod problems;
mod public_api;
