Console.WriteLine("netaudit");
