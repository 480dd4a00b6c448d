"""Pictures of the site, drawn as inline SVG from the same claims as the tables: bands, months, heights, who shares."""
