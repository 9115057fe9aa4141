//! Random documents.
