//! Photos: taken in, turned upright, made small, and stripped of where they were taken before they leave.
