"""One part as a person handles it."""
