//! The house rules of the sources, and the documents.

mod documents;
mod house;
