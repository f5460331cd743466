"""The local page: a server on this computer alone, and what it shows in the browser."""
