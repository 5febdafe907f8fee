"""The sample room that comes with the package: invented, its photos rendered."""
