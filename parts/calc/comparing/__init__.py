"""Upgrades against spares: what each choice costs the site over the years, in today's money."""
