-- attempt: makes a million findings with notice{}
-- expect: contained: this plugin is told as failed by name, within 1 s and 64 MiB; the next plugin is untouched
-- host: loads this file once and calls check(jig) of the table it returns; what check returns is the findings
return { check = function(jig)
  local list = {}
  for i = 1, 1000000 do list[i] = notice { check = "hostile", message = "again", remedy = "none" } end
  return list
end }
