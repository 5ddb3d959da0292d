"""How often what fails, is used and can still be had."""
