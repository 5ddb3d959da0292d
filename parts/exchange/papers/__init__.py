"""The documents that people hand over, made from the answers, and the two files that hold them."""
