"""Full-size templates to print, cut out and lay on the steel: one module a family, put together in `issue`."""
