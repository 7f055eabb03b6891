-- Told as failed by name: `jig` is a table of the host, and what is asked of it is put there on demand. Tries to write into it,
-- to copy it with its metatable, to call its functions with another self, and to hand it back.
return { check = function(jig)
  local breach = {}
  local function tries(what, f)
    -- No pcall: each is tried by what it leaves.
    if f() then table.insert(breach, what) end
  end
  local stress = jig.stress
  tries("rawset", function() return rawget(jig, "parts") == 1 end)
  tries("metatable", function() return type(getmetatable(jig)) ~= "string" end)
  for key, value in next, jig do
    if key ~= "stress" then table.insert(breach, "key " .. tostring(key)) end
  end
  if #breach > 0 then return { notice{ check = "hostile", message = "BREACH " .. table.concat(breach), remedy = "none" } } end
  return stress(table.freeze({}), "R1", "power")
end }
