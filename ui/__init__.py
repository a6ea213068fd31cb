"""The window; imports the core, never the reverse."""
