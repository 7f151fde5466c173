namespace NetAudit.Fuzz;

/// <summary>Texts that are part of this assembly.</summary>
internal static class Resource
{
    public static string Text(string name)
    {
        using var stream = typeof(Resource).Assembly.GetManifestResourceStream(name)!;
        using var reader = new StreamReader(stream);
        return reader.ReadToEnd();
    }
}
