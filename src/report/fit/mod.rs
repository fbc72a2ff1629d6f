//! What a fit found: words, JSON, tables, and the scenario that predicts with it.
