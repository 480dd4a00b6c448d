"""The data as files for other programs: JSON with every claim, a Darwin Core Archive of the names, CSL-JSON sources.

`files.downloads` makes them all; the same knowledge gives the same bytes.
"""
