"""The server's answers, one file a thing of the job."""
