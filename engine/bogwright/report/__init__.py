"""Faces of an answer: terminal, JSON, and what the site's pages need."""
