"""profile: turned parts as points, read, checked and revolved."""
