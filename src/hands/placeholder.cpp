// replaced by its module
