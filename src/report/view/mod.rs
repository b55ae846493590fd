//! From plans to documents, one file per verb.
