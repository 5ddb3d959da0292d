"""The pictures of the whole site, one view a file; the screen of pictures shows one at a time."""
