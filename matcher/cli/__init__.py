"""The command line: unpacks what was asked, calls matcher.service, prints. It computes nothing."""
