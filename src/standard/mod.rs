//! Published numbers as data, with source and basis; typed look-ups, nothing else.
