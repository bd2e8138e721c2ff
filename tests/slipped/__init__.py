"""Ten circuits on which slips are made on purpose, and the bench that reads them as an analyst would."""
