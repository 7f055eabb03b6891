-- attempt: a pattern of nested repeats on a text without a match, nothing caught
-- expect: contained: this plugin is told as failed by name, within 1 s and 64 MiB; the next plugin is untouched
-- host: loads this file once and calls check(jig) of the table it returns; what check returns is the findings
return { check = function(jig)
  return { string.find(string.rep("a", 200000), string.rep("a*", 100) .. "b") }
end }
