#!/usr/bin/python3
"""Reads a page of metrics as Prometheus would, with the reference parser of the OpenMetrics project
(Debian: python3-prometheus-client), and prints its samples one a line: name{label=value,...} value.
Anything that the parser refuses, and any content type but OpenMetrics 1.0, ends it with an error."""
import sys
import urllib.request

from prometheus_client.openmetrics.parser import text_string_to_metric_families

request = urllib.request.Request(sys.argv[1], headers={"Accept": "application/openmetrics-text"})
with urllib.request.urlopen(request, timeout=30) as answer:
    content_type = answer.headers["Content-Type"]
    page = answer.read().decode("utf-8")
if content_type != "application/openmetrics-text; version=1.0.0; charset=utf-8":
    sys.exit(f"content type {content_type!r}")
for family in text_string_to_metric_families(page):
    if not family.documentation:
        sys.exit(f"{family.name} is not explained")
    for sample in family.samples:
        labels = ",".join(f"{name}={value}" for name, value in sample.labels.items())
        print(f"{sample.name}{{{labels}}} {sample.value}")
