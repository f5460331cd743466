"""One load through the tank: facts and figures."""
