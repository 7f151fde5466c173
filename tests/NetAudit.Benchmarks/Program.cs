using NetAudit.Benchmarks;
using NetAudit.Benchmarks.Figures;

if (args is [var word, .. var more] && Verbs.All.TryGetValue(word, out var verb))
{
    return verb(new Options(more));
}
Console.Error.WriteLine(
    $"verbs: {string.Join(", ", Verbs.All.Keys.Order(StringComparer.Ordinal))}; figures is accuracy, speed and convergence"
);
return 2;
