"""step: STEP files through the exact kernel, in a child process."""
