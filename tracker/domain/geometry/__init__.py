"""Outlines, tape sets, openings, edges and joints, net infill: shapes on one plane, in metres."""
