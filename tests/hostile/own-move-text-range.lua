-- attempt: table.move over a range handed in as texts
-- expect: contained: this plugin is told as failed by name, within 1 s and 64 MiB; the next plugin is untouched
-- host: loads this file once and calls check(jig) of the table it returns; what check returns is the findings
return { check = function(jig)
  table.move({}, "1", "2147483000", "1")
end }
