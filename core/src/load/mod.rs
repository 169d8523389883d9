//! How heavy: estimates of a maximum, percentages, ramps, and the discs on the bar.
