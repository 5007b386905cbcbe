"""The web: schemas, endpoints, problem documents, formats and pages. No formula lives here."""
