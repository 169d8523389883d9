//! Shared helpers of the cross-cutting tests.
