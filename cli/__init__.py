"""A person's way in: terminal commands, and the local page in a browser. Thin: no physics, no geometry."""
