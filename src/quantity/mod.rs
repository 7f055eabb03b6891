//! Values with units: read and print.
