//! What a movement is, what it trains, and what may stand in for it.
