"""Widgets and drawings of our own, where the framework's would be slow or would not be true."""
