-- attempt: string.rep with a count handed in as a text
-- expect: contained: this plugin is told as failed by name, within 1 s and 64 MiB; the next plugin is untouched
-- host: loads this file once and calls check(jig) of the table it returns; what check returns is the findings
return { check = function(jig)
  return { string.rep("ab", "2147483000") }
end }
