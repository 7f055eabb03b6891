-- attempt: recursion that is no tail call, without end
-- expect: contained: this plugin is told as failed by name, within 1 s and 64 MiB; the next plugin is untouched
-- host: loads this file once and calls check(jig) of the table it returns; what check returns is the findings
local function down(n) return 1 + down(n + 1) end
return { check = function(jig) return { down(1) } end }
