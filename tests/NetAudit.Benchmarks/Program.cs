using NetAudit.Benchmarks;

if (args is [var word, .. var more] && Verbs.All.TryGetValue(word, out var verb))
{
    if (verb.FirstWrong(more) is { } wrong)
    {
        Console.Error.WriteLine(
            $"{word}: {wrong} is no option with its value; there are {string.Join(", ", verb.Options.Select(option => "--" + option))}"
        );
        return 2;
    }
    return verb.Run(new(more, verb.Options));
}
Console.Error.WriteLine(
    $"verbs: {string.Join(", ", Verbs.All.Keys.Order(StringComparer.Ordinal))}; figures is accuracy, speed and convergence"
);
return 2;
