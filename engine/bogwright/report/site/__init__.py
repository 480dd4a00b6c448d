"""The reference site: a page for every plant, group, genus, rule and source, built with MkDocs.

`build.build` and `build.serve` are what the command line calls; `pages.generate` makes the pages.
"""
