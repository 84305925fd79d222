//! Draws by Latin hypercube.
