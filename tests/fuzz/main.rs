//! Bad input by the thousand: whatever is read, the answer is a result or a fault with a place.

mod projects;
