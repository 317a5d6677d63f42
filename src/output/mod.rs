//! output
