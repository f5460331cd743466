"""shape: files and lathe profiles in, one Body out. Knows no chemistry and no masks."""
