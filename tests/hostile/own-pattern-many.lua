-- attempt: gsub with a pattern that backtracks at every place of the longest text allowed
-- expect: contained: this plugin is told as failed by name, within 1 s and 64 MiB; the next plugin is untouched
-- host: loads this file once and calls check(jig) of the table it returns; what check returns is the findings
return { check = function(jig)
  local text = string.rep("x", 262144)
  while true do text:gsub(".-.-.-y", "") end
end }
