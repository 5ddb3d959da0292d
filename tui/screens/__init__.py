"""The screens, one file each: they ask the site, show what it says, tell the app what to open."""
