"""The physics: compiled, pure, no input or output. State and parameters in, state out."""
