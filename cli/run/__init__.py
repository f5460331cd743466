"""`areacalc run`: a run at the tank, in the terminal."""
